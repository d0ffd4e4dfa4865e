"""Exact time in whole numbers while licks are placed.

Conventions: a counted beat is TICKS ticks, the least number that every split of a beat (1 to
MAX_PARTS parts) divides, so nothing is ever rounded. Whole numbers are several times faster than
fractions; what leaves the room is fractions of a beat.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from math import lcm

from reedwright.tune.values import MAX_PARTS

TICKS = lcm(*range(1, MAX_PARTS + 1))


@lru_cache(maxsize=8192)
def beats_of(ticks: int) -> Fraction:
    """Ticks as counted beats.

    >>> beats_of(TICKS + TICKS // 3)
    Fraction(4, 3)
    """
    return Fraction(ticks, TICKS)
