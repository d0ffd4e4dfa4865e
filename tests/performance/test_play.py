"""Played performances: in order, within bounds, the same again, and local under edits."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import SettingError, TuneError
from reedwright.performance.habits import MOST_HUMAN
from reedwright.performance.humanise import noticeable_s
from reedwright.performance.perform import perform
from reedwright.performance.play import play
from reedwright.performance.playing import Attack, Curve, Played, Playing
from reedwright.performance.reach import Reach
from reedwright.tune.marks import MarkKind
from tests.performance.playtunes import (
    ALL_MARKS,
    marked_tunes,
    play_bars,
    play_text,
    samples,
    seeds,
)
from tests.performance.tunes import PICKUP, ratios, score_of, tempos
from tests.strategies import playable_sounds, tunes_as_written

humans = st.floats(0, MOST_HUMAN)


def _in_order(played: Played) -> None:
    end_s = 0.0
    for playing in played.playings:
        assert playing.played_s >= end_s
        assert playing.played_end_s > playing.played_s
        end_s = playing.played_end_s
    assert end_s <= played.performance.length_s


def _within(curve: Curve, low: float, high: float) -> bool:
    return low - 1e-9 <= min(curve.values) and max(curve.values) <= high + 1e-9


def _in_range(played: Played) -> None:
    reach = Reach(played.performance.score.tune.harp)
    for playing in played.playings:
        assert _within(playing.breath, 0, 1)
        assert _within(playing.cup, 0, 1)
        assert _within(playing.pitch_cents, *reach.limits(playing.timed.event.sound.reeds))
        for curve in (playing.breath, playing.cup, playing.pitch_cents):
            assert curve.times_s[0] == 0
            assert curve.times_s[-1] <= playing.length_s + 1e-9
        switches = playing.switch_s
        assert list(switches) == sorted(switches)
        assert all(0 < moment_s < playing.length_s for moment_s in switches)


@given(marked_tunes, tempos, ratios, seeds, humans)
def test_notes_keep_their_order_and_their_ranges(
    text: str, tempo_bpm: Fraction, ratio: Fraction, seed: int, human: float
) -> None:
    performance = perform(score_of(text), tempo_bpm, ratio)
    played = play(performance, seed, human)
    assert [playing.timed for playing in played.playings] == list(performance.events)
    _in_order(played)
    _in_range(played)


@given(tunes_as_written(playable_sounds()), tempos)
def test_any_tune_of_a_harp_can_be_played(text: str, tempo_bpm: Fraction) -> None:
    played = play_text(text, tempo_bpm)
    _in_order(played)
    _in_range(played)


@given(marked_tunes, tempos, ratios, seeds)
def test_without_human_timing_notes_begin_as_written(
    text: str, tempo_bpm: Fraction, ratio: Fraction, seed: int
) -> None:
    performance = perform(score_of(text), tempo_bpm, ratio)
    exact = play(performance, seed, 0.0)
    assert exact.playings == play(performance, seed + 1, 0.0).playings
    for playing, timed in zip(exact.playings, performance.events, strict=True):
        assert playing.played_s == timed.score_s
        assert playing.played_end_s <= timed.score_end_s


@given(marked_tunes, tempos, seeds, humans)
def test_shifts_are_not_noticed(text: str, tempo_bpm: Fraction, seed: int, human: float) -> None:
    played = play_text(text, tempo_bpm, seed=seed, human=human)
    limit_s = noticeable_s(played.performance.seconds(1)) * human
    for playing in played.playings:
        assert abs(playing.played_s - playing.timed.score_s) <= limit_s + 1e-9


@given(marked_tunes, tempos, seeds)
def test_the_same_seed_plays_it_the_same_way(text: str, tempo_bpm: Fraction, seed: int) -> None:
    assert play_text(text, tempo_bpm, seed=seed) == play_text(text, tempo_bpm, seed=seed)


def test_another_seed_plays_it_another_way() -> None:
    one, other = (play_text(PICKUP, seed=seed).playings for seed in (1, 2))
    assert not {p.played_s for p in one} & {p.played_s for p in other}


def _by_id(played: Played) -> dict[str, Playing]:
    return {playing.id: playing for playing in played.playings}


def test_an_edit_changes_no_note_but_its_neighbours() -> None:
    edited = PICKUP.replace("4d&3d .", "6b&(5b) .")
    before, after = _by_id(play_text(PICKUP)), _by_id(play_text(edited))
    same = [id_ for id_, playing in before.items() if after.get(id_) == playing]
    changed = sorted({id_.split("@")[0] for id_ in before.keys() - set(same)})
    # The note before the edited beat ends sooner, since the breath turns after it.
    assert changed == ["reply:1.2.1", "reply:1.3.1", "reply:1.3.2"]
    onsets = {key for key in before.keys() & after.keys() if not key.startswith("reply:1.3")}
    assert all(before[key].played_s == after[key].played_s for key in onsets)
    assert len(onsets) == len(before) - 8


@given(marked_tunes, tempos, seeds, st.data())
def test_a_changed_note_moves_no_other(
    text: str, tempo_bpm: Fraction, seed: int, data: st.DataObject
) -> None:
    """Any one event of lick Two becomes a plain note: all other onsets stay."""
    lines = text.splitlines()
    at = lines.index("Lick Two") + 1
    words = lines[at].split(" ")
    beat = data.draw(st.integers(1, len(words) - 1))
    parts = words[beat].count("&")
    words[beat] = "&".join(["2b"] + ["2d"] * parts)
    edited = "\n".join([*lines[:at], " ".join(words), *lines[at + 1 :], ""])
    before, after = _by_id(play_text(text, tempo_bpm)), _by_id(play_text(edited, tempo_bpm))
    moved = [key for key in before.keys() & after.keys() if _moved(before[key], after[key])]
    near_s = 4 * noticeable_s(60 / float(tempo_bpm))
    tight = _tight(before, near_s) | _tight(after, near_s)
    assert [key for key in moved if key not in tight] == []


def _moved(one: Playing, other: Playing) -> bool:
    """At the same exact time (an edit may make its beat swing or not) but played at another."""
    return one.timed.score_s == other.timed.score_s and one.played_s != other.played_s


def _tight(played: dict[str, Playing], near_s: float) -> set[str]:
    """Events so near to a neighbour that it may hold them back: nobody can play them apart."""
    pairs = pairwise(played.values())
    near = [(a.id, b.id) for a, b in pairs if b.timed.score_s - a.timed.score_s < near_s]
    return {id_ for pair in near for id_ in pair}


def test_a_bar_more_before_it_shifts_no_note_of_a_later_chorus() -> None:
    """Shifts hang on the id and on chorus and bar, not on how much came before."""
    before = _by_id(play_text(PICKUP))
    after = _by_id(play_text(PICKUP.replace("3 Reply, 2 times", "3 Reply, 3 times")))
    later = [key for key in before if before[key].timed.event.chorus == 2 and key in after]
    assert len(later) > 10
    for key in later:
        if before[key].timed.event.bar <= 3:  # the fourth now leads to a fifth, not to the end
            assert after[key].played_s - before[key].played_s == pytest.approx(3, abs=1e-12)


def test_a_note_of_another_lick_has_a_shift_of_its_own() -> None:
    one = play_text(PICKUP).playings
    other = play_text(PICKUP.replace("Call", "Shout")).playings
    changed = [a.played_s != b.played_s for a, b in zip(one, other, strict=True)]
    assert changed == [playing.timed.event.lick == "Call" for playing in one]


def test_nothing_sounds_before_the_first_sample() -> None:
    text = "Title: T\nHarp: C\nPosition: 1\nLick A\n0: 4d 5d . .\n1: 4d . . .\n"
    firsts = [play_text(text, seed=seed).playings[0].played_s for seed in range(20)]
    assert min(firsts) == 0 < max(firsts)


def test_gaps_and_joins() -> None:
    plain = play_bars("4d 5d 5d 4b", "4d&4d' 4d 3d&. 4d")
    silent = [b.played_s - a.played_end_s for a, b in pairwise(plain)]
    gaps = [0, 0.025, 0.015, 0.015, 0, 0, 0, 0.5]
    assert silent == pytest.approx(gaps)
    attacks = [playing.attack for playing in plain[4:7]]
    assert attacks == [Attack.TONGUE, Attack.SLUR, Attack.SLUR]


def test_a_slur_is_one_sound() -> None:
    for human in (0.0, 1.0):
        first, second, *_ = play_bars("4d'v 4d 4d' 4d", human=human)
        assert second.attack is Attack.SLUR
        assert first.played_end_s == second.played_s
        end_s = first.length_s
        assert first.breath.at(end_s) == second.breath.at(0) > 0.4
        assert first.pitch_cents.at(end_s) - 100 == pytest.approx(second.pitch_cents.at(0))
        pitches = samples(second.pitch_cents, second.length_s)
        assert pitches == sorted(pitches)
        assert pitches[-1] == 0


def test_a_rake_takes_its_time_from_the_note_before() -> None:
    for human in (0.0, 1.0):
        before, raked, *_ = play_bars("2d 1>6d . .", human=human)
        first_s = raked.swept[0][0]
        assert [str(note) for _, note in raked.swept] == ["1d", "2d", "3d", "4d", "5d"]
        assert first_s == pytest.approx(-0.15)
        assert raked.played_s + first_s >= before.played_end_s - 1e-9
        assert raked.passing[-1][1] == 0


def test_a_rake_takes_more_than_a_short_rest() -> None:
    before, raked, *_ = play_bars("2d&=&=&=&=&=&=&=&=&=&=&. 1>6d . .", tempo_bpm=240)
    assert before.played_end_s == pytest.approx(1 + 0.25 * 2 / 3)
    assert [start_s for start_s, _ in raked.swept] == pytest.approx(
        [-n / 60 for n in (5, 4, 3, 2, 1)]
    )


def test_the_first_note_is_raked_inside_the_count_in() -> None:
    (raked, *_) = play_bars("1>4d . . .")
    assert [start_s for start_s, _ in raked.swept] == pytest.approx([-0.09, -0.06, -0.03])


def test_a_rake_that_passes_no_hole_is_tongued() -> None:
    (same, *_) = play_bars("4>4d . . .")
    assert (same.attack, same.swept) == (Attack.TONGUE, ())


def test_moving_hands_run_on_through_the_notes() -> None:
    playings = [p for p in play_text(ALL_MARKS).playings if p.timed.event.bar == 5][1:]
    for one, other in pairwise(playings):
        gap_s = other.played_s - one.played_end_s
        # One opening a beat of 0.75 s moves at most pi / 0.75 a second, less what lines cut off.
        step = abs(one.cup.at(one.length_s) - other.cup.at(0))
        assert step <= 4.2 * gap_s + 0.03


@given(marked_tunes, tempos, seeds)
def test_hands_do_not_jump(text: str, tempo_bpm: Fraction, seed: int) -> None:
    playings = play_text(text, tempo_bpm, seed=seed).playings
    for one, other in pairwise(playings):
        if other.played_s == one.played_end_s:
            assert one.cup.at(one.length_s) == pytest.approx(other.cup.at(0), abs=1e-9)


def test_what_marks_leave_for_the_voice() -> None:
    by_kind = {
        mark.kind: playing
        for playing in play_text(ALL_MARKS).playings
        for mark in playing.timed.event.sound.marks
    }
    assert by_kind[MarkKind.FLUTTER].flutter_hz == 20
    assert by_kind[MarkKind.SLAP].blocked
    assert by_kind[MarkKind.SLAP].passing == tuple(
        (0.0, 0.03, note) for _, note in by_kind[MarkKind.SLAP].swept
    )
    pull = by_kind[MarkKind.PULL]
    ((start_s, end_s, _),) = pull.passing
    assert [start_s, end_s] == pytest.approx([pull.length_s - 0.09, pull.length_s])
    assert by_kind[MarkKind.GHOST].attack is Attack.BREATH


def test_notes_the_harp_lacks_are_all_named() -> None:
    text = "Title: T\nHarp: C\nPosition: 1\nLick A\n1: 4d'' 5bo 4d'' 7d'\n"
    with pytest.raises(TuneError) as caught:
        play_text(text)
    first = "4d'' on the C harp (chorus 1, bar 1, beat 1). 4 draw bends 1 semitone at most"
    second = "7d' on the C harp (chorus 1, bar 1, beat 4). 7 draw does not bend"
    assert str(caught.value).splitlines() == [
        f"{place}: no {what} on this harp. Mend: write a note of the harp."
        for place, what in (("line:5:4", first), ("line:5:18", second))
    ]


@pytest.mark.parametrize("human", [-0.1, 3.1, float("nan"), float("inf")])
def test_a_looseness_no_player_has(human: float) -> None:
    with pytest.raises(SettingError) as caught:
        play_text(PICKUP, human=human)
    assert str(caught.value) == (
        f"human timing {human:g}. It lies between 0 (exactly as written) and 3 (1 is usual). "
        "Mend: choose a number in that range."
    )


def test_a_tune_of_rests_is_played_in_silence() -> None:
    played = play_text("Title: T\nHarp: C\nPosition: 1\nLick A\n1: . . . .\n")
    assert played.playings == ()
    assert len(played.count_in) == 4
