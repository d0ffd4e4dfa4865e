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


class Search:
    """Tabs over layers of ways; every layer has at least one."""

    def __init__(self, layers: Sequence[tuple[Way, ...]], timing: Timing, costs: Costs) -> None:
        self._layers = layers
        self._costs = costs
        self._timing = timing
        self._times_s = [costs.time_s(time_s) for time_s in timing.times_s]
        self._moves: dict[float, dict[int, int]] = {time_s: {} for time_s in self._times_s}
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
        # A family: its least cost, when it was entered, the tab it leaves, where, for which way.
        waiting: list[tuple[int, int, bytes, int, int]] = []
        places = bytes(map(tuple.index, self._layers, best.ways))
        entered = self._leave(places, 0, waiting, 0)
        while waiting:
            cost, _, left, note, at = heapq.heappop(waiting)
            places = left[:note] + self._follow(note, at)
            yield Found(tuple(map(_pick, self._layers, places)), cost)
            entered = self._leave(places, note + 1, waiting, entered)

    def _leave(
        self,
        places: bytes,
        first: int,
        waiting: list[tuple[int, int, bytes, int, int]],
        entered: int,
    ) -> int:
        """Enter every family that leaves this tab at note `first` or later; the new count."""
        spent = 0
        for note, (layer, rest) in enumerate(zip(self._layers, self._onward, strict=True)):
            taken = places[note]
            before = self._layers[note - 1][places[note - 1]] if note else None
            if note >= first and len(layer) > 1:
                for at, way in enumerate(layer):
                    if at != taken:
                        moved = self._from(before, way, note)
                        heapq.heappush(
                            waiting, (spent + moved + rest[at], entered, places, note, at)
                        )
                        entered += 1
            way = layer[taken]
            spent += self._from(before, way, note) + self._own(way, note)
        return entered

    def _from(self, before: Way | None, way: Way, note: int) -> int:
        return 0 if before is None else self._moved(self._move_row(note - 1), before, way, note - 1)

    def _follow(self, note: int, at: int) -> bytes:
        """The places of the best way onward from one way of a note, that way included."""
        places = bytearray([at])
        for following in range(note + 1, len(self._layers)):
            way = self._layers[following - 1][places[-1]]
            row = self._move_row(following - 1)
            layer, rest = self._layers[following], self._onward[following]
            ahead = [
                self._moved(row, way, to, following - 1) + more
                for to, more in zip(layer, rest, strict=True)
            ]
            places.append(ahead.index(min(ahead)))
        return bytes(places)

    def _backwards(self) -> list[list[int]]:
        onward: list[list[int]] = [[] for _ in self._layers]
        for note in range(len(self._layers) - 1, -1, -1):
            own = [self._own(way, note) for way in self._layers[note]]
            if note == len(self._layers) - 1:
                onward[note] = own
                continue
            moves, rest = self._move_row(note), onward[note + 1]
            after = self._layers[note + 1]
            onward[note] = [
                cost
                + min(
                    self._moved(moves, way, to, note) + more
                    for to, more in zip(after, rest, strict=True)
                )
                for way, cost in zip(self._layers[note], own, strict=True)
            ]
        return onward

    def _own(self, way: Way, note: int) -> int:
        return self._costs.note(way, self._timing.lengths_s[note])

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
