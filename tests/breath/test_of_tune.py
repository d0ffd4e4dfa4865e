"""A tune as segments of air: every number by hand, at 60 beats a minute a beat is a second."""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.breath.ledger import Segment
from reedwright.breath.of_tune import (
    MARK_L,
    breath_curve,
    breath_marks,
    breath_of,
    breath_plan_marks,
    flow_of,
    segments,
    segments_of,
)
from reedwright.errors import SettingError
from reedwright.harp.note import Breath
from reedwright.performance.perform import perform
from reedwright.tune.place import Score
from tests.breath.cases import LUNGS, near
from tests.breath.tunes_for_breath import bars, random_score, score_of, slowest

SLOW = Fraction(60)
SCORES = st.integers(0, 2**32 - 1).map(random_score)


def air_of(cells: str, head: str = "", manner: str = "") -> tuple[Segment, ...]:
    return segments(score_of(f"Lick A{manner}\n1: {cells}\n", head=head), SLOW)


Row = tuple[str, float, float, str]


def timed(kind: str, duration_s: float, flow_l_per_s: float, label: str) -> Row:
    return kind, near(duration_s), near(flow_l_per_s), label


def rows(air: Sequence[Segment]) -> list[Row]:
    return [(each.kind, each.duration_s, each.flow_l_per_s, each.label) for each in air]


def test_the_count_in_and_rests_are_open_and_notes_follow_on_one_breath() -> None:
    assert rows(air_of("2d 3d . 4d")) == [
        timed("open", 4.0, 0.0, ""),
        timed("draw", 1.0, 0.2, "a:1.1.1@1.1"),
        timed("draw", 1.0, 0.2, "a:1.2.1@1.1"),
        timed("open", 1.0, 0.0, "a:1.2.1@1.1"),
        timed("draw", 1.0, 0.2, "a:1.4.1@1.1"),
    ]


def test_a_turn_takes_the_gap_from_the_note_before_it() -> None:
    assert rows(air_of("2d 2b&2d .&2b =")[1:]) == [
        timed("draw", 0.94, 0.2, "a:1.1.1@1.1"),
        timed("open", 0.06, 0.0, "a:1.1.1@1.1"),
        timed("blow", 0.44, 0.2, "a:1.2.1@1.1"),
        timed("open", 0.06, 0.0, "a:1.2.1@1.1"),
        timed("draw", 0.5, 0.2, "a:1.2.2@1.1"),  # the rest that follows is gap enough
        timed("open", 0.5, 0.0, "a:1.2.2@1.1"),
        timed("blow", 1.5, 0.2, "a:1.3.2@1.1"),
    ]


def test_a_short_note_gives_up_only_its_share() -> None:
    found = air_of("2d&2b&2d&2b&2d&2b&2d&2b . . .")[1]
    assert rows([found])[0] == timed("draw", 0.125 * 0.75, 0.2, "a:1.1.1@1.1")


def test_a_rest_shorter_than_the_gap_is_filled_up_from_the_note() -> None:
    head = "Lungs: turn gap 0.4, turn gap share 0.9"
    air = air_of("2d =&=&=&=&=&. 2b .", head)  # 11/6 s, then 1/6 s of the 0.4 s it asks for
    assert rows(air[1:3]) == [
        timed("draw", 11 / 6 - (0.4 - 1 / 6), 0.2, "a:1.1.1@1.1"),
        timed("open", 0.4, 0.0, "a:1.1.1@1.1"),
    ]
    air = air_of("2d&.&2b . . .", head)  # asks for 0.3 s, and 1/3 s are there
    assert rows(air[1:3]) == [
        timed("draw", 1 / 3, 0.2, "a:1.1.1@1.1"),
        timed("open", 1 / 3, 0.0, "a:1.1.1@1.1"),
    ]


@pytest.mark.parametrize(
    ("sound", "flow_l_per_s"),
    [
        ("2d", 0.2),
        ("1+2+3d", 0.2 * 2.4),
        ("1+4d", 0.2 * 1.7),
        ("3d''", 0.2 * 1.3),
        ("10b''", 0.2 * 1.3),
        ("6bo", 0.2 * 1.15),
        ("4x5d", 0.2),  # a shake: one of the two at a time
        ("2+3d'", 0.2 * 1.7 * 1.075),
        ("5d'''", 0.2 * 1.45),  # no harp has it: counted as written
    ],
)
def test_flow(sound: str, flow_l_per_s: float) -> None:
    air = air_of(f"{sound} . . .")
    assert air[1].flow_l_per_s == near(flow_l_per_s)


def test_loudness_and_the_lungs_of_the_tune_set_the_flow() -> None:
    head = "Lungs: draw 0.4, loudness very loud 3"
    assert air_of("2d . . .", head, " (very loud)")[1].flow_l_per_s == near(1.2)
    assert air_of("2b . . .", head, " (very loud)")[1].flow_l_per_s == near(0.6)
    assert air_of("2b . . .", "", " (very soft)")[1].flow_l_per_s == near(0.1)


def test_a_pickup_shortens_the_count_in() -> None:
    air = segments(score_of("Lick A\n0: . . . .&2d\n1: 2d . . .\n"), SLOW)
    assert rows(air[:1])[0] == timed("open", 3.5, 0.0, "")


def test_durations_are_swung() -> None:
    air = air_of("2d&3d . . .", "Feel: shuffle")
    assert [each.duration_s for each in air[1:3]] == [near(2 / 3), near(1 / 3)]


def test_a_tune_of_rests_is_one_long_breath() -> None:
    score = score_of("Lick A\n1: . . . .\n")
    assert rows(segments(score, SLOW)) == [timed("open", 8.0, 0.0, "")]
    assert breath_marks(score, SLOW) == frozenset()
    assert [point.time_s for point in breath_curve(score, SLOW)] == [0.0, 8.0]


def test_an_impossible_tempo_says_so() -> None:
    with pytest.raises(SettingError, match="tempo 5"):
        breath_of(score_of("Lick A\n1: 2d . . .\n"), Fraction(5))


@given(SCORES)
def test_air_and_time_are_those_of_the_score(score: Score) -> None:
    """Oracle: the performance lasts as long as its bars, and air counted note by note, with the
    gaps at turns given back, is the air of the exact lengths."""
    tempo_bpm = slowest(score)
    air = segments(score, tempo_bpm)
    beats = (score.tune.count_in_bars + score.bars) * score.tune.meter.beats
    assert sum(each.duration_s for each in air) == near(float(beats * 60 / tempo_bpm))
    performed = {each.event.id: each for each in perform(score, tempo_bpm).events}
    notes = [each for each in air if each.kind != "open"]
    assert [each.label for each in notes] == [event.id for event in score.events]
    for each in notes:
        event = performed[each.label].event
        assert (each.kind == "draw") is (event.sound.breath is Breath.DRAW)
        assert each.flow_l_per_s == flow_of(event, LUNGS)
        given_up_s = performed[each.label].length_s - each.duration_s
        assert -1e-9 <= given_up_s <= LUNGS.gap_s(performed[each.label].length_s) + 1e-9


@given(SCORES)
def test_every_turn_leaves_at_least_the_gap(score: Score) -> None:
    air = segments(score, slowest(score))
    lengths = {each.event.id: each.length_s for each in perform(score, slowest(score)).events}
    for before, gap, after in zip(air, air[1:], air[2:], strict=False):
        if gap.kind == "open" and before.kind not in ("open", after.kind):
            assert gap.duration_s >= LUNGS.gap_s(lengths[before.label]) - 1e-9
    for before, after in pairwise(air):
        assert "open" in (before.kind, after.kind) or before.kind == after.kind


@given(SCORES)
def test_stretching_is_another_tempo_at_the_same_ratio(score: Score) -> None:
    slow, full = slowest(score), score.tune.full_tempo_bpm
    played = perform(score, full, Fraction(2))
    stretched = segments_of(played, LUNGS, float(full / slow))
    plain = segments_of(perform(score, slow, Fraction(2)), LUNGS)
    assert [timed(*row) for row in rows(plain)] == rows(stretched)


def test_marks_are_the_deep_breaths_of_the_plan_with_their_direction() -> None:
    cells = (
        "1+2+3d = = .\n2: 1+2+3d = = .\n3: 2b&2d 2b&2d 2b&2d 2b&2d\n4: 1+2+3b = = .\n5: 2d . . ."
    )
    score = score_of(f"Lick A (loud)\n1: {cells}\n")
    marks = breath_plan_marks(score, SLOW)
    assert [(mark.id, mark.direction) for mark in marks] == [
        ("a:1.1.1@1.1", "out"),
        ("a:2.1.1@1.2", "out"),
        ("a:4.1.1@1.4", "in"),
    ]
    assert all(abs(mark.breathed_l) >= MARK_L for mark in marks)
    assert breath_marks(score, SLOW) == {mark.id for mark in marks}


def test_no_plan_no_marks_and_the_curve_ends_at_the_failure() -> None:
    score = score_of("Lick A (loud)\n" + bars("1+2+3d 1+2+3d 1+2+3d 1+2+3d", 8))
    assert breath_marks(score, SLOW) == frozenset()
    points = breath_curve(score, SLOW)
    assert all(point.planned_l is None for point in points)
    # Empty after the count-in, then 0.72 litres a second: full (4.8) after six notes of eleven.
    assert points[-1].time_s == near(10.0)
    assert points[-1].low_l == near(6 * 0.72)


def test_the_curve_of_a_plan_stays_in_its_corridor_and_lasts_the_tune() -> None:
    score = score_of("Lick A\n" + bars("2d 3d'&4b 4d .", 4))
    points = breath_curve(score, SLOW)
    assert points[-1].time_s == near(20.0)
    for point in points:
        assert point.planned_l is not None
        assert point.low_l - 1e-9 <= point.planned_l <= point.high_l + 1e-9


def test_draws_fill_and_blows_empty_the_player() -> None:
    """Second position is draw-heavy: without the gaps the same tune ends fuller than it began."""
    head = "Lungs: breathe in 0, breathe out 0"
    drawn = breath_curve(score_of("Lick A\n" + bars("2d 3d 4d 3b", 2), head=head), SLOW)
    blown = breath_curve(score_of("Lick A (soft)\n" + bars("2b 3b . 2d", 2), head=head), SLOW)
    assert drawn[-1].planned_l == near(1.2 + 0.2 * (6 * 1.0 - 2 * 0.06 - 2 * 1.0 + 0.06))
    assert blown[-1].planned_l == near(1.2 - 0.14 * (4 * 1.0 - 2 * 1.0 + 0.06))
