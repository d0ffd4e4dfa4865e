"""Events: every sound of a tune where it falls, exact and unswung.

Conventions: `start` and `length` in counted beats, `start` from the first beat of bar 1 of the
first chorus (a pickup is negative). `chorus` and `bar` as people count (bar 0: the first pickup),
`beat` from 1 inside the bar. An event's `id` says where it was written and where it is placed:
lick:bar.cell.part@chorus.bar; it never counts events, so edits elsewhere leave it alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from reedwright.tune.values import Cup, Loudness, Sound


@dataclass(frozen=True, slots=True)
class Event:
    """One sound. `start_split` and `end_split`: into how many parts the beats are split in which
    it starts and ends, which says whether they swing. `lick` is the name of the lick placed."""

    id: str
    lick: str
    chorus: int
    bar: int
    beat: Fraction
    start: Fraction
    length: Fraction
    start_split: int
    end_split: int
    sound: Sound
    cup: Cup
    loudness: Loudness
    line: int
    column: int

    @property
    def end(self) -> Fraction:
        return self.start + self.length
