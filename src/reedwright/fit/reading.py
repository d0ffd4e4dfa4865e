"""What came of reading a file: a melody, and what the teacher should know of how it was read."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from reedwright.errors import Problem
from reedwright.fit.melody import Melody, MelodyError
from reedwright.tune.meter import MAX_BEATS, SWING_LIMITS, TEMPO_LIMITS_BPM, Feel, Meter

SURE, FAIRLY = 0.8, 0.7
"""From where on a rhythm is called sure, and fairly sure. Measured on jittered melodies: at these
values 97 % and 85 % of the notes came out right."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A melody as read.

    Attributes:
        part: number and name of the part taken, empty where there is only one.
        remarks: whole sentences on what was taken, left out or changed.
        sure: how well the notes lie on the grid found, 1 exactly, 0 no better than by chance.
    """

    melody: Melody
    part: str = ""
    remarks: tuple[str, ...] = ()
    sure: float = 1.0

    @property
    def sure_words(self) -> str:
        """`sure`, `fairly sure` or `not sure`."""
        if self.sure >= SURE:
            return "sure"
        return "fairly sure" if self.sure >= FAIRLY else "not sure"


@dataclass(frozen=True, slots=True)
class Count:
    """How a written meter is counted: the tune's meter, and counted beats in a written quarter."""

    meter: Meter
    beats_per_quarter: Fraction


def counted(upper: int, lower: int) -> Count:
    """A written meter as a tune counts it: 2/2 as 4/4 in quarters, 6/16 as 6/8, 7/8 as seven beats.

    Errors: MelodyError for more beats than a tune's bar has.
    """
    if upper < 1 or lower not in (1, 2, 4, 8, 16, 32):
        raise _no_meter(upper, lower)
    if lower >= 8 and upper % 3 == 0 and upper <= 12:
        return Count(Meter(upper, 8), Fraction(lower, 12))
    beats = upper * 4 // lower if lower < 4 else upper
    if beats > MAX_BEATS:
        raise _no_meter(upper, lower)
    return Count(Meter(beats, 4), Fraction(1) if lower < 4 else Fraction(lower, 4))


_SHUFFLE = (Fraction(18, 10), Fraction(22, 10))
"""Ratios called a shuffle: what is found strays by a tenth (measured on jittered melodies)."""


def feel_of(ratio: Fraction) -> Feel:
    """The feel of a ratio, kept within what a tune may have."""
    if ratio <= 1:
        return Feel()
    if _SHUFFLE[0] <= ratio <= _SHUFFLE[1]:
        return Feel("shuffle", Fraction(2))
    near = min(Fraction(round(ratio * 100), 100), SWING_LIMITS[1])
    return Feel(f"swing {float(near):g}:1", near)


def usable_tempo(tempo_bpm: Fraction) -> Fraction | None:
    """The tempo if it can be counted, rounded to a hundredth, else None."""
    low, high = TEMPO_LIMITS_BPM
    return Fraction(round(tempo_bpm * 100), 100) if low <= tempo_bpm <= high else None


def _no_meter(upper: int, lower: int) -> MelodyError:
    return MelodyError(
        str(
            Problem(
                f"meter {upper}/{lower}",
                f"A tune's bar has 1 to {MAX_BEATS} counted beats",
                "write the melody in a shorter meter",
            )
        )
    )
