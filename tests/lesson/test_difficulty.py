"""Difficulty: its parts by hand, and what may never lower it."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import SettingError
from reedwright.lesson.demands import Asking
from reedwright.lesson.difficulty import Difficulty, difficulty_of
from reedwright.tune.place import Score
from reedwright.tune.techniques import ladder
from tests.lesson.scores import of_bars
from tests.strategies import placed_tunes

PARTS = ("bends", "leaps", "speed", "breath", "rhythm", "length")
_EASY = ["2d", "3d", "4d", "4b", "5b", "6b", ".", "2d&3d", "4d&=&5d", "="]

easy_bars = st.lists(
    st.lists(st.sampled_from(_EASY), min_size=4, max_size=4), min_size=1, max_size=4
).map(lambda bars: [["2d", *bars[0][1:]], *bars[1:]])
"""Bars of plain notes; the first is a whole 2 draw, so that nothing is held of nothing."""


def hard(*bars: str, tempo_bpm: int = 80) -> Difficulty:
    return difficulty_of(of_bars(*bars), Fraction(tempo_bpm))


def joined(bars: list[list[str]]) -> list[str]:
    """Cells as bars; a hold after silence is silence, since the reader refuses it."""
    sounding, out = False, []
    for bar in bars:
        cells = []
        for cell in bar:
            cells.append("." if cell == "=" and not sounding else cell)
            sounding = cells[-1] != "."
        out.append(" ".join(cells))
    return out


def points(difficulty: Difficulty) -> dict[str, float]:
    return {part.name: part.points for part in difficulty.parts}


def test_the_parts_by_hand() -> None:
    """Two quarters at 120: 2 draw, then 6 blow bent nowhere; weights of lesson.toml."""
    found = points(hard("2d 6b . .", tempo_bpm=120))
    first = 1 - 0.9  # the hardest place counts this much
    assert found == pytest.approx(
        {
            "bends": 0.0,
            "leaps": first * 0.45 * 4 / 0.5,
            "speed": first * 1.5 * (1 / 0.5 - 1.0),
            "breath": first * 1.2 / 0.5,
            "rhythm": 0.0,
            "length": 0.9 * math.log2(3),
        }
    )


def test_a_bend_reached_by_a_leap_by_hand() -> None:
    found = points(hard("1d 4d' . .", tempo_bpm=60))
    bend = ladder().techniques["4d'"].difficulty
    assert found["bends"] == pytest.approx(0.1 * 5.0 * (bend - 1))
    assert found["leaps"] == pytest.approx(0.1 * (0.45 * 3 + 1.5 * 2))


def test_the_air_of_a_long_run_by_hand() -> None:
    """Eight beats of one draw reed, 0.2 L a beat at medium loudness (breath.toml): 1.6 L."""
    found = points(hard("2d = = =", "= = = ="))
    assert found["breath"] == pytest.approx(0.1 * 6.0 * (1.6 - 1.0))
    assert points(hard("2d = = .", "2d = = ."))["breath"] == 0.0


def test_onsets_off_the_beat_by_hand() -> None:
    found = points(hard("2d&2d . .&2d =", tempo_bpm=60))
    asked = sorted([0.0, 1.0, 1.0 + 1.5 + 1.0], reverse=True)  # half; half, across, after a rest
    assert found["rhythm"] == pytest.approx(
        sum(0.1 * 0.9**place * 2.0 * value for place, value in enumerate(asked))
    )
    compound = difficulty_of(of_bars("2d&3d&4d .", head="Meter: 6/8\n"))
    assert compound.part("rhythm").points == 0.0
    assert difficulty_of(of_bars("2d&3d&4d . . .")).part("rhythm").points > 0.0


def test_nothing_is_no_difficulty() -> None:
    found = hard(". . . .")
    assert found.number == 0.0
    assert found.hardest is None
    assert [part.name for part in found.parts] == list(PARTS)


def test_a_part_says_where_it_is_hardest() -> None:
    found = hard("2d 3d 3d''' 3d", "2d 9b . .")
    assert found.part("bends").at == "call:1.3.1@1.1"
    assert found.part("leaps").at == "call:2.2.1@1.2"
    assert found.part("length").at == ""
    assert found.hardest == max(found.parts, key=lambda part: part.points)


def test_tunes_stand_in_the_order_a_teacher_would_put_them() -> None:
    """Common practice, no source: first-lesson notes, an eighth-note run, bends, overbends."""
    numbers = [
        hard("4b = 5b =", "6b = 5b =", tempo_bpm=60).number,
        hard("4b 5b 6b 5b", "4b 4d 5b 4b", tempo_bpm=80).number,
        hard("2d&3d 4d&5d 6b&5d 4d&3d", "2d&3d 4d&4b 3d&2d 2d", tempo_bpm=100).number,
        hard("2d'' 2d 3d' 3d", "4d' 4d 3d''' 2d", tempo_bpm=100).number,
        hard("6bo&6b 4bo&4d 6bo&7d 5bo&5b", "3d'&2d'' 6bo 7do 6bo", tempo_bpm=140).number,
    ]
    assert numbers == sorted(numbers)
    assert numbers[0] < 15
    assert numbers[-1] > 40


def test_a_tempo_nobody_can_count_is_refused() -> None:
    with pytest.raises(SettingError):
        hard("2d . . .", tempo_bpm=5000)


@given(placed_tunes())
def test_any_tune_has_a_number_and_shares_that_add_up(score: Score) -> None:
    found = difficulty_of(score)
    assert 0.0 <= found.number < 100.0
    assert sum(part.share for part in found.parts) == pytest.approx(found.number)
    assert all(part.points >= 0.0 for part in found.parts)
    ids = {event.id for event in score.events}
    assert {part.at for part in found.parts} <= ids | {""}
    tempos = [Fraction(20), Fraction(61), Fraction(400)]
    numbers = [difficulty_of(score, tempo).number for tempo in tempos]
    assert numbers == sorted(numbers)


@given(easy_bars, st.data())
def test_a_bend_never_lowers_it(bars: list[list[str]], data: st.DataObject) -> None:
    where = [(b, c) for b, bar in enumerate(bars) for c, cell in enumerate(bar) if cell == "4d"]
    bars[0][0] = "4d"
    bar, cell = data.draw(st.sampled_from([(0, 0), *where]))
    bent = [list(row) for row in bars]
    bent[bar][cell] = "4d'"
    plain, harder = points(hard(*joined(bars))), points(hard(*joined(bent)))
    assert all(harder[name] >= plain[name] - 1e-9 for name in PARTS)
    assert harder["bends"] > plain["bends"]


@given(easy_bars, st.integers(3, 5), st.integers(1, 4))
def test_a_larger_leap_never_lowers_it(bars: list[list[str]], hole: int, more: int) -> None:
    """The last note alone moves further from the one before it, so no other leap gets smaller."""
    end = ["2d", "3d", "2d"]
    near = hard(*joined([*bars, [*end, f"{hole}d"]]))
    far = hard(*joined([*bars, [*end, f"{hole + more}d"]]))
    assert far.part("leaps").points > near.part("leaps").points
    assert far.number >= near.number


@given(easy_bars, st.sampled_from(["2d", "4d'", "6bo", "2d&=&=&3d"]))
def test_a_further_note_at_the_end_never_lowers_it(bars: list[list[str]], cell: str) -> None:
    shorter = hard(*joined([*bars, [".", ".", ".", "."]]))
    longer = hard(*joined([*bars, [".", cell, ".", "."]]))
    assert longer.number > shorter.number


@given(easy_bars, st.sampled_from(["4b", "5b", "6b"]))
def test_a_turn_of_the_breath_never_lowers_the_breath_part_of_moves(
    bars: list[list[str]], blow: str
) -> None:
    """A turn ends a run, so it may spare air; short runs, as here at the end, have air to spare."""
    straight = hard(*joined([*bars, [".", "4d", "5d", "."]]))
    turned = hard(*joined([*bars, [".", "4d", blow, "."]]))
    assert turned.part("breath").points > straight.part("breath").points


def test_each_sound_is_asked_once_and_a_note_the_harp_has_not_is_the_hardest() -> None:
    score = of_bars("5d''' . . .")
    found = Asking(score.tune).of(score.events)
    most = max(step.difficulty for step in ladder().techniques.values())
    assert found.bends == (5.0 * (most - 1),)
    assert Asking(score.tune).of(()).ids == ()
