"""The cheapest way to cut a line into pieces, exactly.

Conventions: notes from 0, place k before note k; times in ticks; costs in whole thousandths. The
cost of a cutting is that of its cuts (see `stops`) and of the sizes of its pieces:

    notes · ((n - N) / N)² + beats · ((b - B) / B)²        [n notes over b beats, aimed at N and B]

A piece keeps to the most notes and beats of its size, unless nothing in it may be cut. Of equal
costs the fewest pieces win, then the longest first one, then the longest second one, and so on.
How: from the last note to the first, the best cutting of the rest of the line. A piece holds few
notes, so the work grows with the notes of the line times the most of a piece. Checked against every
possible cutting of small lines in `tests/outside/test_lesson_cuts.py`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass

from reedwright.lesson.settings import Size
from reedwright.lesson.stops import POINT
from reedwright.tune.ticks import TICKS


@dataclass(frozen=True, slots=True)
class CutLine:
    """A line to cut. `costs[k - 1]` is the cost of place k; at a place in `must` there is a cut, at
    one in `never` there is none; `must` wins."""

    starts: Sequence[int]
    ends: Sequence[int]
    costs: Sequence[int]
    must: Set[int] = frozenset()
    never: Set[int] = frozenset()

    @property
    def open_places(self) -> list[bool]:
        """By place: whether a cut may stand there; True at both ends."""
        notes = len(self.starts)
        inner = (k in self.must or k not in self.never for k in range(1, notes))
        return [True, *inner, True]


def size_cost(notes: int, beats: float, size: Size, weights: Mapping[str, float]) -> int:
    """What the size of a piece costs, in thousandths."""
    off_notes = (notes - size.notes) / size.notes
    off_beats = (beats - size.beats) / size.beats
    return round(
        (weights["notes"] * off_notes * off_notes + weights["beats"] * off_beats * off_beats)
        * POINT
    )


def cheapest_cuts(line: CutLine, size: Size, weights: Mapping[str, float]) -> tuple[int, ...]:
    """The places to cut at, in order; none for a line of at most one note."""
    notes = len(line.starts)
    if notes < 2:
        return ()
    open_places = line.open_places
    best: list[tuple[int, int, int]] = [(0, 0, notes)] * (notes + 1)  # cost, pieces, next place
    for first in range(notes - 1, -1, -1):
        if open_places[first]:
            best[first] = _best_from(first, line, open_places, best, (size, weights))
    cuts: list[int] = []
    at = best[0][2]
    while at < notes:
        cuts.append(at)
        at = best[at][2]
    return tuple(cuts)


def _best_from(
    first: int,
    line: CutLine,
    open_places: Sequence[bool],
    best: Sequence[tuple[int, int, int]],
    measure: tuple[Size, Mapping[str, float]],
) -> tuple[int, int, int]:
    """The best cutting of the notes from `first` on: cost, pieces, and where the first one ends."""
    size, weights = measure
    notes = len(line.starts)
    found: tuple[int, int, int] | None = None
    for end in range(first + 1, notes + 1):
        if not open_places[end]:
            continue
        count, beats = end - first, (line.ends[end - 1] - line.starts[first]) / TICKS
        if found is not None and (count > size.most_notes or beats > size.most_beats):
            break
        cost, pieces, _ = best[end]
        cost += size_cost(count, beats, size, weights) + (line.costs[end - 1] if end < notes else 0)
        if found is None or (cost, pieces + 1) <= found[:2]:  # the later end wins a tie
            found = (cost, pieces + 1, end)
        if end in line.must:
            break
    if found is None:  # the end of the line is always open
        raise AssertionError("a line without an end")
    return found
