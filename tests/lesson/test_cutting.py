"""Cutting a line: limits, the teacher's places, ties. Against every cutting: tests/outside."""

from hypothesis import given
from hypothesis import strategies as st

from reedwright.lesson.cutting import CutLine, cheapest_cuts, size_cost
from reedwright.lesson.settings import Size
from reedwright.tune.ticks import TICKS
from tests.strategies import cut_lines, sizes

WEIGHTS = {"notes": 4.0, "beats": 2.0}
SIZE = Size(2, 3, 2, 4)


def even(notes: int, cost: int = 0) -> CutLine:
    """Notes of a beat each, every cut at the same cost."""
    starts = [place * TICKS for place in range(notes)]
    return CutLine(starts, [start + TICKS for start in starts], [cost] * max(0, notes - 1))


def test_no_note_and_one_note_are_not_cut() -> None:
    assert cheapest_cuts(even(0), SIZE, WEIGHTS) == ()
    assert cheapest_cuts(even(1), SIZE, WEIGHTS) == ()


def test_free_cuts_give_the_size_aimed_at() -> None:
    assert cheapest_cuts(even(8), SIZE, WEIGHTS) == (2, 4, 6)


def test_dear_cuts_give_the_largest_pieces_there_may_be() -> None:
    assert cheapest_cuts(even(9, 10**9), SIZE, WEIGHTS) == (3, 6)


def test_of_equal_costs_the_first_piece_is_the_longest() -> None:
    assert cheapest_cuts(even(3, 10**9), Size(1, 2, 1, 2), WEIGHTS) == (2,)


def test_a_size_costs_the_square_of_the_share_it_is_off() -> None:
    assert size_cost(3, 3.0, SIZE, WEIGHTS) == 1000 + 500
    assert size_cost(2, 2.0, SIZE, WEIGHTS) == 0


def test_the_teacher_may_forbid_every_cut() -> None:
    line = even(12)
    whole = CutLine(line.starts, line.ends, line.costs, never=frozenset(range(1, 12)))
    assert cheapest_cuts(whole, SIZE, WEIGHTS) == ()
    some = CutLine(line.starts, line.ends, line.costs, must=frozenset({5}), never=whole.never)
    assert cheapest_cuts(some, SIZE, WEIGHTS) == (5,)


@given(cut_lines(), sizes)
def test_pieces_keep_to_their_most_and_to_the_teacher(line: CutLine, size: Size) -> None:
    cuts = cheapest_cuts(line, size, WEIGHTS)
    notes = len(line.starts)
    assert list(cuts) == sorted(set(cuts))
    assert set(cuts) >= {place for place in line.must if 0 < place < notes}
    assert set(cuts).isdisjoint(line.never - line.must)
    for first, end in zip((0, *cuts), (*cuts, notes), strict=True):
        beats = (line.ends[end - 1] - line.starts[first]) / TICKS if end else 0
        fits = end - first <= size.most_notes and beats <= size.most_beats
        inside = range(first + 1, end)
        assert fits or all(place in line.never and place not in line.must for place in inside)


@given(st.integers(2, 40), sizes)
def test_a_dearer_cut_is_not_sought(notes: int, size: Size) -> None:
    """Where all cuts get dearer alike, there are never more of them."""
    counts = [len(cheapest_cuts(even(notes, cost), size, WEIGHTS)) for cost in (0, 500, 5000)]
    assert counts == sorted(counts, reverse=True)
