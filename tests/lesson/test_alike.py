"""Two licks compared note for note: each kind, and what is none."""

import pytest

from reedwright.lesson.alike import Kind, Match, compared
from tests.lesson.scores import shapes, units


def kinds(earlier: str, later: str, head: str = "") -> dict[Kind, Match]:
    """What the two licks have in common."""
    make = shapes()
    one, other = (make.of(unit) for unit in units(earlier, later, head=head))
    return {match.kind: match for match in compared(one, other)}


def straight(count: int) -> tuple[tuple[int, int], ...]:
    return tuple((place, place) for place in range(count))


def test_identical_whatever_the_marks_and_the_beat() -> None:
    found = kinds("2d 3d&4d 5d .", ". (2d) /3d&4dv 5d!")
    assert found == {Kind.IDENTICAL: Match(Kind.IDENTICAL, straight(4))}


@pytest.mark.parametrize(
    ("later", "pairs"),
    [
        ("2d 3d 4b 5d&6b", ((0, 0), (1, 1), (3, 3), (4, 4))),  # another note
        ("2d 3d 4d&. 5d&6b", ((0, 0), (1, 1), (3, 3), (4, 4))),  # a shorter note
        ("2d 3d 5d&6b .", ((0, 0), (1, 1), (3, 2), (4, 3))),  # a note dropped
        ("2d 3d 4d 4d | 5d&6b . . .", ((0, 0), (1, 1), (2, 2), (3, 4), (4, 5))),  # one put in
        ("3d 3d 4d 5d&6b", ((1, 1), (2, 2), (3, 3), (4, 4))),  # the first
        ("2d 3d 4d 5d&=", straight(3)),  # the last two
    ],
)
def test_one_note_changed(later: str, pairs: tuple[tuple[int, int], ...]) -> None:
    found = kinds("2d 3d 4d 5d&6b", later)
    if len(pairs) > 3:
        assert found[Kind.ONE_NOTE] == Match(Kind.ONE_NOTE, pairs)
    else:
        assert found == {Kind.OPENING: Match(Kind.OPENING, pairs)}


def test_one_bar_changed() -> None:
    found = kinds("2d 3d . . | 4d 4d 4d . | 2d 1d . .", "2d 3d . . | 6b 5d 6b 5b | 2d 1d . .")
    assert found == {Kind.ONE_BAR: Match(Kind.ONE_BAR, ((0, 0), (1, 1), (5, 6), (6, 7)))}


def test_nearly_the_same_by_alignment() -> None:
    found = kinds("2d 3d 4d 5d | 6b 5d 4d 3d", "2d 3d 4b 5d | 6b 5d&5b 4d 3d")
    assert found[Kind.NEARLY].pairs == ((0, 0), (1, 1), (3, 3), (4, 4), (6, 7), (7, 8))


def test_a_shared_opening_and_a_shared_ending() -> None:
    found = kinds(
        "2d 3d 4d 9b | 9b 9b 9b . | . 5d 4d 2b",
        "2d 3d 4d . | . 1b 1b 1b | . . . 5d | 4d 2b . .",
    )
    assert found[Kind.OPENING].pairs == straight(3)
    assert found[Kind.ENDING].pairs == ((7, 6), (8, 7), (9, 8))
    assert set(found) == {Kind.OPENING, Kind.ENDING}


def test_a_lick_that_is_the_end_of_another_is_said_as_an_ending() -> None:
    found = kinds("4d 4d 6b 5d | 4d 2d . .", "6b 5d 4d 2d")
    assert set(found) == {Kind.ENDING}
    assert found[Kind.ENDING].pairs == ((2, 0), (3, 1), (4, 2), (5, 3))


def test_two_notes_in_common_are_chance() -> None:
    assert kinds("2d 3d 4b&4b 6b", "2d 3d 5d = ") == {}


def test_the_same_rhythm_on_other_holes() -> None:
    found = kinds("1d 2d&3d 3d' .", "4d 5d&6d 6d' .")
    assert found[Kind.RHYTHM] == Match(Kind.RHYTHM, straight(4), holes=3)
    assert kinds("1d 2d&3d 3d' .", "4d 5b&6d 6d' .")[Kind.RHYTHM].holes is None
    assert kinds("1+2d 2d . .", "4+5d 5d . .") == {}  # two notes are too few


def test_the_same_contour_in_another_rhythm() -> None:
    found = kinds("1d 4d 3d 5d", "2b&6b 6d' . 7d")
    assert found == {}  # down a semitone is up a hole here: 6b G5, 6d' Ab5
    found = kinds("1d 4d 3d 5d", "2b&6b 5d . 7d")
    assert found == {Kind.CONTOUR: Match(Kind.CONTOUR, straight(4))}
    assert kinds("1d 2d 3d 4d", "2b&3b 4b . 5b") == {}  # no turn in it


def test_a_note_the_harp_has_not_has_no_contour() -> None:
    assert Kind.CONTOUR not in kinds("1d 4d 5d'' 5d", "2b&6b 5d . 7d")


def test_long_middles_are_not_aligned() -> None:
    """More than MOST_ALIGNED notes between the ends: only openings and endings are looked for."""
    bars = 40
    one = " | ".join(["2d 3d 4d 5d"] + ["2d&3d 4d&5d 6b&6d 4b&4d"] * bars + ["6b 5d 4d 3d"])
    other = " | ".join(["2d 3d 4d 5d"] + ["1b&2d 4d&5d 6b&6d 4b&4d"] * bars + ["6b 5d 4d 3d"])
    assert {Kind.OPENING, Kind.ENDING} <= set(kinds(one, other))
