"""What a tab costs: a sum over its notes and over the moves from note to note.

Conventions: costs are whole thousandths of a point, so that sums are exact and equal costs are
equal. With d the hardest technique's difficulty, L the length in seconds, t the seconds from onset
to onset (kept between `least-time-s` and `most-time-s`; a rest counts as time):

    note  = technique · (d - 1)  +  held-bend · max(0, L - held-free-s)      [bent notes]
    move  = hole · max(0, h - hole-free) / t  +  turn / t                    [turn: breath changes]
          + leap-to-bend · max(0, h - 1)                                     [to a bent note]
          + bend-to-bend                                                     [from bent to bent]
          + button                                                           [pressed or let go]

h: holes from the nearer edge of one note to the nearer edge of the next, 0 where they overlap.
Two notes that are the same cost nothing to move between. Weights: `effort`.
"""

from __future__ import annotations

from reedwright.fit.effort import Effort
from reedwright.fit.ways import Way

POINT = 1000
"""Thousandths in a point."""


class Costs:
    """The two kinds of cost, worked out once for every pair of ways and time."""

    def __init__(self, effort: Effort) -> None:
        self._note, self._move = effort.note, effort.move
        self._least_s, self._most_s = effort.move["least-time-s"], effort.move["most-time-s"]

    def time_s(self, from_onset_to_onset_s: float) -> float:
        """The time a move counts with, to the millisecond."""
        return round(min(max(from_onset_to_onset_s, self._least_s), self._most_s), 3)

    def note(self, way: Way, length_s: float) -> int:
        """Of one note."""
        points = self._note["technique"] * (way.difficulty - 1.0)
        if way.bent:
            points += self._note["held-bend"] * max(0.0, length_s - self._note["held-free-s"])
        return round(points * POINT)

    def move(self, before: Way, after: Way, time_s: float) -> int:
        """From one note to the next, `time_s` from `self.time_s`."""
        if before is after:
            return 0
        holes = crossed(before, after)
        weight = self._move
        points = weight["hole"] * max(0.0, holes - weight["hole-free"]) / time_s
        if before.draws is not after.draws:
            points += weight["turn"] / time_s
        if after.bent:
            points += weight["leap-to-bend"] * max(0, holes - 1)
            points += weight["bend-to-bend"] * before.bent
        points += weight["button"] * (before.pressed is not after.pressed)
        return round(points * POINT)


def crossed(before: Way, after: Way) -> int:
    """Holes from the nearer edge of one note to the nearer edge of the next."""
    return max(after.low - before.high, before.low - after.high, 0)
