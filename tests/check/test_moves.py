"""Hard moves of tunes in their exact words, at the tempos of the tune."""

from hypothesis import given

from reedwright.check.limits import limits
from reedwright.check.moves import all_hard_moves, move_findings
from tests.check.shuffle import SHUFFLE
from tests.check.tunes import lick, score_of, tunes


def said(*bars: str, **header: str) -> list[tuple[str, str, str]]:
    findings = move_findings(lick(*bars, **header))
    assert {finding.check for finding in findings} <= {"moves"}
    return [(finding.severity.value, finding.found, finding.mend) for finding in findings]


def test_a_jump_that_is_hard_at_the_full_tempo_and_fine_at_the_slow_one() -> None:
    assert said("1d&5d . . .", Tempo="60, 90, 120") == [
        (
            "advice",
            "4 holes from 1d to 5d in 0.25 s at 120: hard at 90 and 120, fine at 60",
            "practise it at 60 first, or come to it by holes between, or leave a rest before it",
        )
    ]


def test_a_jump_that_is_hard_at_every_tempo() -> None:
    assert said("1d&9d . . .", Tempo="60, 120") == [
        (
            "warning",
            "8 holes from 1d to 9d in 0.25 s at 120: hard at 60 already",
            "come to it by holes between, or leave a rest before it",
        )
    ]


def test_a_tune_with_one_tempo() -> None:
    assert said("1d&9d . . .", Tempo="60")[0][1] == "8 holes from 1d to 9d in 0.50 s: hard at 60"


def test_swing_decides() -> None:
    """In a shuffle the second half of a beat is shorter: a jump after it is harder."""
    jump = ". 3d&3b 7d ."
    assert said(jump, Tempo="60", Feel="straight") == []
    assert [found for _, found, _ in said(jump, Tempo="60", Feel="shuffle")] == [
        "4 holes from 3b to 7d in 0.33 s: hard at 60"
    ]


def test_octaves_of_a_slide_harp_at_a_usual_pace_are_left_alone() -> None:
    slide = {"Harp": "C slide", "Position": "1"}
    assert said("4b&1b 4b&1b . .", Tempo="70", Feel="shuffle", **slide) == []
    assert said("1d&5d 1d&5d . .", Tempo="90", **slide) == []
    assert [found for _, found, _ in said("1d&5d . . .", Tempo="60, 120", **slide)] == [
        "4 holes from 1d to 5d in 0.25 s: hard at 120, fine at 60"
    ]


def test_the_octave_is_hard_at_one_pace_on_both_kinds_of_harp() -> None:
    for tempo, hard in (("96", False), ("104", True)):
        assert bool(said("1b&4b . . .", Tempo=tempo)) == hard
        assert bool(said("1d&5d . . .", Tempo=tempo, Harp="C slide", Position="1")) == hard


def test_a_bend_after_a_leap() -> None:
    assert said("7b 3d'' . .", Tempo="60, 120") == [
        (
            "advice",
            "4 holes from 7b to 3d'', with a bend to set, in 0.50 s: hard at 120, fine at 60",
            (
                "practise it at 60 first, or come to it from a hole beside it, or leave a rest "
                "before it"
            ),
        )
    ]


def test_bends_in_a_row() -> None:
    assert said("3d'&3d'' 3d'&3d'' 3d . ", Tempo="60, 120") == [
        (
            "advice",
            "4 bent notes in a row from 3d', 0.25 s apart: hard at 120, fine at 60",
            "practise it at 60 first, or put a plain note between the bends",
        )
    ]


def test_turning_breath() -> None:
    bar = "2d&2b&2d&2b 2d&2b&2d&2b 2d&2b&2d&2b 2d&2b&2d&2b"
    assert said(bar, bar, Tempo="60, 120") == [
        (
            "advice",
            "from 2b on the breath turns 8.0 times a second: hard at 120, fine at 60",
            "practise it at 60 first, or take two notes in one breath here and there",
        )
    ]


def test_changing_holes() -> None:
    bar = "2d&3d&4d&3d 2d&3d&4d&3d 2d&3d&4d&3d 2d&3d&4d&3d"
    assert [found for _, found, _ in said(bar, bar, Tempo="60, 140")] == [
        "from 3d on the hole changes 9.5 times a second: hard at 140, fine at 60"
    ]


def test_repeats_are_told_once() -> None:
    found = [found for _, found, _ in said(*["1d&5d . . ."] * 6, Tempo="120")]
    assert found == ["4 holes from 1d to 5d in 0.25 s: hard at 120; and 5 more like it"]


def test_an_idiomatic_tune_is_left_alone() -> None:
    assert move_findings(score_of(SHUFFLE)) == ()


@given(tunes())
def test_what_is_hard_at_a_slow_tempo_is_hard_at_the_full_one(text: str) -> None:
    score = score_of(text)
    full = score.tune.full_tempo_bpm
    for hard in all_hard_moves(score, limits()):
        assert full in hard.tempos_bpm
        assert list(hard.tempos_bpm) == sorted(hard.tempos_bpm)
        assert 0 <= hard.move.index < len(score.events)
