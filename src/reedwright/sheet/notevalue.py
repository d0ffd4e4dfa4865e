"""Parts of a beat as note values: which sign, how many dots, in which tuplet, under which beams.

Conventions: a beat is split into `parts` equal units. Levels count beams: a quarter is 0, an
eighth 1, a half −1. In a simple beat (a quarter) 2, 4, 8 … parts are ordinary values; in a
compound one (a dotted quarter) 3, 6, 12 … are. Other splits are tuplets, written with the value
of the next smaller ordinary split (5 as 5:4 sixteenths); two in a compound beat are a duplet of
eighths, 2:3. Source: common practice of engraving.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from reedwright.errors import SheetError

TYPES = {-2: "whole", -1: "half", 0: "quarter", 1: "eighth"} | {
    level: f"{4 << level}{'nd' if level == 3 else 'th'}" for level in range(2, 9)
}
"""MusicXML's names of note values by level, down to the shortest it has (1024th)."""


KEPT = 4096
"""Answers remembered by each function that is asked the same again and again."""


class Value(NamedTuple):
    """A note value of `units` parts of its beat. (A plain tuple: made once for every note.)"""

    units: int
    level: int
    dots: int


@lru_cache(maxsize=KEPT)
def ordinary_split(parts: int, compound: bool) -> int:
    """The ordinary split whose values a split into `parts` borrows; equal to it for no tuplet."""
    split = 3 if compound else 1
    while 2 * split <= parts:
        split *= 2
    return split


@lru_cache(maxsize=KEPT)
def values(start: int, units: int, parts: int, compound: bool, rest: bool) -> tuple[Value, ...]:
    """Note values, to be tied, that fill `units` parts of a beat from part `start`.

    Rests take no dots and stand only where their own length divides the beat.
    Errors: SheetError for a split too fine to write.
    """
    split = ordinary_split(parts, compound)
    unit_level = (split // 3).bit_length() if compound else split.bit_length() - 1
    if unit_level not in TYPES:
        raise SheetError(f"A beat split into {parts} is too fine to be written.")
    found: list[Value] = []
    end = start + units
    while start < end:
        taken, dots = _largest(start, end - start, rest)
        level = unit_level - (taken.bit_length() - 1)
        found.append(Value(taken, level, dots))
        start += taken
    return tuple(found)


def _largest(start: int, units: int, rest: bool) -> tuple[int, int]:
    """How many units the first value takes, and its dots."""
    power = 1 << (units.bit_length() - 1)
    aligned = start & -start if start else power
    if rest:
        return min(power, aligned), 0
    if power == units:
        return units, 0
    if units == 3 * power // 2:
        return units, 1
    return min(power, aligned), 0


@lru_cache(maxsize=KEPT)
def beams(levels: tuple[int, ...]) -> tuple[tuple[str, ...], ...]:
    """For each note of one beamed group, what its beams do, the main beam first."""
    if len(levels) < 2:
        return ((),) * len(levels)
    return tuple(
        tuple(_beam(levels, at, beam) for beam in range(1, level + 1))
        for at, level in enumerate(levels)
    )


def _beam(levels: tuple[int, ...], at: int, beam: int) -> str:
    left = at > 0 and levels[at - 1] >= beam
    right = at + 1 < len(levels) and levels[at + 1] >= beam
    if left:
        return "continue" if right else "end"
    if right:
        return "begin"
    return "backward hook" if at else "forward hook"
