"""What a player counts: `3 & 4 &` under a pickup.

Conventions: beats count from 1; halves of a beat are `&`, thirds `& a`, quarters `e & a`; other
parts have no word of their own. Source: common practice.
"""

from __future__ import annotations

from math import gcd

from reedwright.tune.place import Score
from reedwright.tune.values import Sound

_PARTS = {(1, 2): "&", (1, 3): "&", (2, 3): "a", (1, 4): "e", (3, 4): "a"}


def count_word(at: int, beat_ticks: int) -> str:
    """The word for a time in ticks of the bar; empty where nothing is counted.

    >>> [count_word(at, 4) for at in range(5)]
    ['1', 'e', '&', 'a', '2']
    """
    beat, inside = divmod(at, beat_ticks)
    if not inside:
        return str(beat + 1)
    shared = gcd(inside, beat_ticks)
    return _PARTS.get((inside // shared, beat_ticks // shared), "")


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
