"""Rows of a pattern: what musicians write and where it falls."""

import itertools
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.band.patterns import SPLITS, Slot, joined, pieces, row_of, slots, struck_again

F = Fraction


def starts(text: str, *, compound: bool = False) -> list[Fraction]:
    return [slot.start for slot in slots(row_of(text), compound)]


def test_signs_share_their_beat_evenly() -> None:
    assert starts("x.x. xx x.x x") == [F(0), F(1, 2), F(1), F(3, 2), F(2), F(8, 3), F(3)]


def test_a_hold_lengthens_what_sounds_across_beats() -> None:
    held = slots(row_of("x- -- -. .x"))
    assert [(slot.start, slot.length) for slot in held] == [(F(0), F(5, 2)), (F(7, 2), F(1, 2))]


def test_a_hold_with_nothing_before_it_is_a_rest() -> None:
    assert starts("-- x.") == [F(1)]
    assert starts("x. -x") == [F(0), F(3, 2)]


def test_beats_of_two_become_triplets_in_a_compound_meter() -> None:
    assert starts("xx xxxx x.x", compound=True) == [
        F(0), F(2, 3), F(1), F(4, 3), F(5, 3), F(11, 6), F(2), F(8, 3),
    ]  # fmt: skip
    assert {slot.split for slot in slots(row_of("xx"), compound=True)} == {3}


@given(st.lists(st.sampled_from(SPLITS), min_size=1, max_size=12), st.booleans())
def test_strokes_follow_each_other_and_fill_the_bar(sizes: list[int], compound: bool) -> None:
    row = tuple("x" * size for size in sizes)
    made = slots(row, compound)
    assert made[0].start == 0
    assert made[-1].end == len(row)
    assert all(one.end == other.start for one, other in itertools.pairwise(made))
    assert len(made) == sum(sizes)


@pytest.mark.parametrize("beats", range(1, 13))
def test_a_bar_of_any_beats_is_put_together(beats: int) -> None:
    assert sum(pieces(beats)) == beats
    four, three, turn = row_of("a b c d"), row_of("e f g"), row_of("w x y z")
    assert len(joined({4: four, 3: three}, beats)) == beats
    assert joined({4: four, 3: three}, beats, end=turn)[-1] == "z"


def test_short_bars_take_the_beginning_and_turns_the_end() -> None:
    rows = {4: row_of("a b c d"), 3: row_of("e f g")}
    assert joined(rows, 2) == ("a", "b")
    assert joined(rows, 5) == ("e", "f", "g", "a", "b")
    assert joined(rows, 7) == ("a", "b", "c", "d", "e", "f", "g")
    assert joined(rows, 3, end=row_of("w x y z")) == ("x", "y", "z")


def test_what_sounds_across_a_change_is_struck_again() -> None:
    whole = Slot(F(0), F(4), 1, 1, "x")
    again = struck_again([whole], [F(0), F(2), F(7, 2)])
    assert [(slot.start, slot.length) for slot in again] == [
        (F(0), F(2)), (F(2), F(3, 2)), (F(7, 2), F(1, 2)),
    ]  # fmt: skip
    assert [slot.split for slot in again] == [1, 1, 2]
