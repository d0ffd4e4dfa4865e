"""Swing: where the parts of a beat fall when its two halves are played long and short.

Conventions: positions in counted beats; `ratio` is long:short, 1 for straight, 2 for a shuffle.
The halves of a beat become r/(r+1) and 1/(r+1) of it. A beat split in 2, 4 or 8 swings: what
stands inside a half keeps its share of that half, so sixteenths divide the long and the short half
evenly (common practice for a shuffle; at 2:1 they fall on the first, second, fourth and fifth
sixth). Triplets and every other split stay where they are. Beats begin where they always do, so
bar lines never move. All exact: the warp is piecewise linear with one knot.

A beat in which halves meet a triplet, which only two overlapping or abutting licks can bring
about, is played straight as a whole: the two kinds of boundary would pass each other above 2:1.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from reedwright.tune.events import Event

STRAIGHT = Fraction(1)
_HALF = Fraction(1, 2)


def swings(split: int) -> bool:
    """Whether a beat split into so many parts swings: 2, 4, 8 …

    >>> [split for split in range(1, 13) if swings(split)]
    [2, 4, 8]
    """
    return split > 1 and split & (split - 1) == 0


def swung(position: Fraction, ratio: Fraction) -> Fraction:
    """Where a position of a swinging beat is played; whole beats stay.

    >>> swung(Fraction(3, 2), Fraction(2)), swung(Fraction(1, 4), Fraction(2))
    (Fraction(5, 3), Fraction(1, 3))
    """
    beat = position // 1
    inside = position - beat
    long = ratio / (ratio + 1)
    if inside <= _HALF:
        return beat + 2 * long * inside
    return beat + long + (2 * inside - 1) * (1 - long)


def straight_beats(events: Iterable[Event]) -> frozenset[int]:
    """The beats (counted from the first of bar 1) that hold a boundary which does not swing."""
    return frozenset(
        position.numerator // position.denominator
        for event in events
        for position, split in ((event.start, event.start_split), (event.end, event.end_split))
        if position.denominator > 1 and not swings(split)
    )
