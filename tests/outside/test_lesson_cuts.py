"""Cuts of small lines against every possible cutting.

Oracle: exhaustive search, written here from the cost as docs/lesson.md states it, with exact
fractions in place of floats. No outside source: the cost is our own.
"""

from fractions import Fraction
from itertools import combinations

from hypothesis import given

from reedwright.lesson.cutting import CutLine, cheapest_cuts
from reedwright.lesson.lines import spans_of
from reedwright.lesson.pieces import cut_tune
from reedwright.lesson.settings import Size, lesson_table
from reedwright.lesson.stops import places_of
from reedwright.tune.place import Score
from reedwright.tune.ticks import TICKS
from tests.strategies import cut_lines, placed_tunes, sizes

WEIGHTS = {"notes": 4.0, "beats": 2.0}
_SMALL = 11  # notes of a line that are searched through: 1,024 cuttings


def cost_of(line: CutLine, cuts: tuple[int, ...], size: Size) -> int | None:
    """The cost of a cutting in thousandths; None for one that is not allowed."""
    notes = len(line.starts)
    needed = {place for place in line.must if 0 < place < notes}
    if not needed <= set(cuts) or set(cuts) & (line.never - line.must):
        return None
    cost = sum(line.costs[place - 1] for place in cuts)
    for first, end in zip((0, *cuts), (*cuts, notes), strict=True):
        beats = Fraction(line.ends[end - 1] - line.starts[first], TICKS)
        could_be_cut = any(
            place in line.must or place not in line.never for place in range(first + 1, end)
        )
        if could_be_cut and (end - first > size.most_notes or beats > size.most_beats):
            return None
        off_notes = (end - first - Fraction(size.notes)) / Fraction(size.notes)
        off_beats = (beats - Fraction(size.beats)) / Fraction(size.beats)
        points = (
            Fraction(WEIGHTS["notes"]) * off_notes**2 + Fraction(WEIGHTS["beats"]) * off_beats**2
        )
        cost += round(points * 1000)
    return cost


def best_cuts(line: CutLine, size: Size) -> tuple[int, ...]:
    """The cheapest of all cuttings: the fewest pieces, then the longest first ones."""
    places = range(1, len(line.starts))
    allowed = [
        (cost, len(cuts), tuple(-place for place in cuts), cuts)
        for count in range(len(line.starts))
        for cuts in combinations(places, count)
        if (cost := cost_of(line, cuts, size)) is not None
    ]
    return min(allowed)[3]


def halfway(line: CutLine, size: Size) -> bool:
    """Whether some piece costs exactly half a thousandth more than a whole number, where floats
    and fractions may round apart."""
    notes = len(line.starts)
    for first in range(notes):
        for end in range(first + 1, notes + 1):
            beats = Fraction(line.ends[end - 1] - line.starts[first], TICKS)
            off_notes = (end - first - Fraction(size.notes)) / Fraction(size.notes)
            off_beats = (beats - Fraction(size.beats)) / Fraction(size.beats)
            if (4 * off_notes**2 + 2 * off_beats**2) * 2000 % 2 == 1:
                return True
    return False


@given(cut_lines(most_notes=9), sizes)
def test_the_cheapest_cuts_are_the_best_of_all(line: CutLine, size: Size) -> None:
    found = cheapest_cuts(line, size, WEIGHTS)
    if len(line.starts) < 2:
        assert found == ()
    elif halfway(line, size):
        found_cost, best = cost_of(line, found, size), cost_of(line, best_cuts(line, size), size)
        assert found_cost is not None
        assert best is not None
        assert abs(found_cost - best) <= len(line.starts)  # a thousandth for each piece
    else:
        assert found == best_cuts(line, size)


@given(placed_tunes())
def test_small_licks_are_cut_as_every_cutting_says(score: Score) -> None:
    table = lesson_table()
    size = table.size("beginner")
    cutting = cut_tune(score, level="beginner")
    for line in cutting.lines:
        if not 2 <= len(line.events) <= _SMALL:
            continue
        spans = spans_of(line.events)
        places = places_of(line.events, spans, score.tune.meter.beats, table["stop"])
        to_cut = CutLine(*spans, [place.cost for place in places])
        if halfway(to_cut, size):
            continue
        firsts = [piece.events[0].id for piece in cutting.of_lick(line.slug)[1:]]
        assert firsts == [line.events[place].id for place in best_cuts(to_cut, size)]
