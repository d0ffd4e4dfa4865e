"""What a player counts: `3 & 4 &` under a pickup.

Conventions: beats count from 1; a beat split in two or four is `1 e & a`, one split in threes
`1 & a`; other parts have no word of their own. Times are ticks of the bar, see `rhythm`.
Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import gcd

from reedwright.tune.place import Score
from reedwright.tune.values import Sound

_HALVES = {(1, 2): "&", (1, 4): "e", (3, 4): "a"}
_THIRDS = {(1, 3): "&", (2, 3): "a"}


class Counts:
    """What is counted in one bar.

    >>> counts = Counts([0, 1, 2, 3, 4, 6], beat_ticks=4)
    >>> [counts.word(at) for at in (0, 1, 2, 3, 4, 6, 8)]
    ['1', 'e', '&', 'a', '2', '&', '3']
    """

    def __init__(self, starts: Iterable[int], beat_ticks: int) -> None:
        self._ticks = beat_ticks
        self._unit: dict[int, int] = {}
        for at in starts:
            beat, inside = divmod(at, beat_ticks)
            self._unit[beat] = gcd(self._unit.get(beat, beat_ticks), inside)

    def word(self, at: int) -> str:
        """The word for a time in ticks of the bar; empty where nothing is counted."""
        beat, inside = divmod(at, self._ticks)
        if not inside:
            return str(beat + 1)
        parts = self._ticks // self._unit.get(beat, self._ticks)
        shared = gcd(inside, self._ticks)
        words = _HALVES if parts % 3 else _THIRDS
        return words.get((inside // shared, self._ticks // shared), "")


def pickup_beats(score: Score) -> dict[int, int]:
    """Bars of the tune (from 0, −1 before it) that hold a pickup, and the beat (from 0) in which
    its first note falls."""
    found: dict[int, int] = {}
    for placement in score.order.placements:
        if placement.lick is None or placement.first != 0:
            continue
        sounding = [
            beat
            for beat, cell in enumerate(placement.lick.bar(0).bar.cells)
            if placement.sounds(0, beat + 1) and any(isinstance(part, Sound) for part in cell.parts)
        ]
        if sounding:
            bar = placement.start - placement.base
            found[bar] = min(sounding[0], found.get(bar, sounding[0]))
    return found
