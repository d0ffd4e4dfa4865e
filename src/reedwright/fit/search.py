"""The cheapest tabs of a sequence of notes, exactly, and in order.

Conventions: a layer for each note holds its ways in the order of ties; a tab picks one way of each
layer. Costs are whole numbers. `onward[i][j]` is the least that note i played in way j and all that
follows can cost, note i included: found backwards in one pass, linear in the notes. Of tabs that
cost the same, the best is the one that has the earlier way at the first note where they differ; the
others follow in the order in which they were met.
Source: Bellman's principle of optimality; for the further tabs Lawler's partition (Management
Science 18(7), 1972, from memory). Both are checked against exhaustive search and shortest paths.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from reedwright.fit.costs import Costs
from reedwright.fit.ways import Way


@dataclass(frozen=True, slots=True)
class Timing:
    """Lengths of the notes, and times from each onset to the next, in seconds (one less)."""

    lengths_s: tuple[float, ...]
    times_s: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """A tab: one way for each note, and what it costs in thousandths of a point."""

    ways: tuple[Way, ...]
    cost: int


_Family: TypeAlias = tuple[int, int, bytes, list[int], int, int]
"""Its least cost, when it was entered, the tab it leaves, what that spent, where, for which way."""


class Moves:
    """Costs worked out so far for the ways of one tuning: of moves by time and pair, of notes by
    length and way. Searches over the same ways share them."""

    def __init__(self, costs: Costs) -> None:
        self.by_time: dict[float, dict[int, int]] = {}
        self.by_length: dict[float, dict[int, int]] = {}
        self._rounded: dict[float, float] = {}
        self._costs = costs

    def times_s(self, timing: Timing) -> list[float]:
        """The times that moves count with."""
        rounded = self._rounded
        for time_s in set(timing.times_s):
            rounded[time_s] = counted_s = self._costs.time_s(time_s)
            self.by_time.setdefault(counted_s, {})
        for length_s in set(timing.lengths_s):
            self.by_length.setdefault(length_s, {})
        return [rounded[time_s] for time_s in timing.times_s]


class Search:
    """Tabs over layers of ways; every layer has at least one."""

    def __init__(
        self,
        layers: Sequence[tuple[Way, ...]],
        timing: Timing,
        costs: Costs,
        moves: Moves | None = None,
    ) -> None:
        """`moves`: what was worked out before for ways of the same tuning."""
        self._layers = layers
        self._costs = costs
        self._timing = timing
        moves = moves or Moves(costs)
        self._times_s = moves.times_s(timing)
        self._moves, self._owns = moves.by_time, moves.by_length
        self._onward = self._backwards()

    @property
    def least(self) -> int:
        """What the cheapest tab costs."""
        return min(self._onward[0], default=0) if self._onward else 0

    def best(self) -> Found:
        """The cheapest tab, the first of equals. Linear in the notes."""
        if not self._layers:
            return Found((), 0)
        places = self._follow(0, self._onward[0].index(self.least))
        return Found(tuple(map(_pick, self._layers, places)), self.least)

    def in_order(self) -> Iterator[Found]:
        """All tabs, cheapest first; each further one costs time and memory linear in the notes.

        How: from a tab found, every place where another way could be taken begins a family of tabs
        that share all before it; the cheapest of a family is known at once from what is onward.
        The families of all tabs found so far part what is left without a gap or a double.
        """
        best = self.best()
        yield best
        if not self._layers:
            return
        waiting: list[_Family] = []
        places = bytes(map(tuple.index, self._layers, best.ways))
        entered = self._leave(places, [0], 0, waiting, 0)
        while waiting:
            cost, _, left, spents, note, at = heapq.heappop(waiting)
            places = left[:note] + self._follow(note, at)
            yield Found(tuple(map(_pick, self._layers, places)), cost)
            way = self._layers[note][at]
            spent = spents[note] + self._from(left, way, note) + self._own(way, note)
            spents = [*spents[: note + 1], spent]
            entered = self._leave(places, spents, note + 1, waiting, entered)

    def _leave(
        self, places: bytes, spents: list[int], first: int, waiting: list[_Family], entered: int
    ) -> int:
        """Enter every family that leaves this tab at note `first` or later; the new count.

        `spents[note]` is what the tab costs before a note; known up to `first`, then filled in.
        """
        for note in range(first, len(self._layers)):
            layer, taken = self._layers[note], places[note]
            spent = spents[note]
            if len(layer) > 1:
                rest = self._onward[note]
                for at, way in enumerate(layer):
                    if at != taken:
                        cost = spent + self._from(places, way, note) + rest[at]
                        heapq.heappush(waiting, (cost, entered, places, spents, note, at))
                        entered += 1
            way = layer[taken]
            spents.append(spent + self._from(places, way, note) + self._own(way, note))
        return entered

    def _from(self, places: bytes, way: Way, note: int) -> int:
        """The move into a way of a note from the tab's note before."""
        if not note:
            return 0
        before = self._layers[note - 1][places[note - 1]]
        return self._moved(self._move_row(note - 1), before, way, note - 1)

    def _follow(self, note: int, at: int) -> bytes:
        """The places of the best way onward from one way of a note, that way included."""
        places = bytearray([at])
        for following in range(note + 1, len(self._layers)):
            layer = self._layers[following]
            if len(layer) == 1:
                places.append(0)
                continue
            way = self._layers[following - 1][places[-1]]
            row = self._move_row(following - 1)
            ahead = [
                self._moved(row, way, to, following - 1) + more
                for to, more in zip(layer, self._onward[following], strict=True)
            ]
            places.append(ahead.index(min(ahead)))
        return bytes(places)

    def _backwards(self) -> list[list[int]]:
        onward: list[list[int]] = [[]] * len(self._layers)
        after: tuple[Way, ...] = ()
        rest: list[int] = []
        for note in range(len(self._layers) - 1, -1, -1):
            layer = self._layers[note]
            if not after:
                found = [self._own(way, note) for way in layer]
            elif len(after) == 1:  # most notes have one way only: nothing to choose
                only, more, row = after[0], rest[0], self._move_row(note)
                found = [
                    self._own(way, note) + self._moved(row, way, only, note) + more for way in layer
                ]
            else:
                found = [self._best_from(way, note, after, rest) for way in layer]
            onward[note] = rest = found
            after = layer
        return onward

    def _best_from(self, way: Way, note: int, after: tuple[Way, ...], rest: list[int]) -> int:
        row = self._move_row(note)
        ahead = [
            self._moved(row, way, to, note) + more for to, more in zip(after, rest, strict=True)
        ]
        return self._own(way, note) + min(ahead)

    def _own(self, way: Way, note: int) -> int:
        row = self._owns[self._timing.lengths_s[note]]
        cost = row.get(way.rank)
        if cost is None:
            cost = row[way.rank] = self._costs.note(way, self._timing.lengths_s[note])
        return cost

    def _move_row(self, note: int) -> dict[int, int]:
        return self._moves[self._times_s[note]]

    def _moved(self, row: dict[int, int], before: Way, after: Way, note: int) -> int:
        key = before.rank << 16 | after.rank
        cost = row.get(key)
        if cost is None:
            cost = row[key] = self._costs.move(before, after, self._times_s[note])
        return cost


def _pick(layer: tuple[Way, ...], place: int) -> Way:
    return layer[place]
