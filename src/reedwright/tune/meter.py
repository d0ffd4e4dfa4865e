"""Meter and feel.

Conventions: a counted beat (a cell) is a quarter in simple meters and a dotted quarter in
compound ones; tempo is in counted beats per minute. A swing ratio is long:short of the two halves
of a beat: 2 for a shuffle at every tempo (common practice), 1 for straight. `by tempo` follows the
measured jazz relation: a short note of about 100 ms (Friberg & Sundström, Music Perception 19(3),
2002), clamped to 1 … 3.5.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from reedwright.errors import Problem, TuneError
from reedwright.harp.pitch import shown

SWING_LIMITS = (Fraction(1), Fraction(7, 2))
SHORT_NOTE_MS = 100
TEMPO_LIMITS_BPM = (20, 400)
"""Counted beats a minute a player can count; from memory."""

MAX_BEATS = 12
_METER = re.compile(r"([0-9]{1,2})\s*/\s*([0-9]{1,2})")
_SWING = re.compile(r"swing\s+([0-9]{1,2}(?:\.[0-9]{1,4})?)(?:\s*:\s*([0-9]{1,2}))?")


@dataclass(frozen=True, slots=True)
class Meter:
    """A time signature: n/4, or 6/8, 9/8, 12/8 counted in dotted quarters."""

    upper: int = 4
    lower: int = 4

    def __post_init__(self) -> None:
        simple = self.lower == 4 and 1 <= self.upper <= MAX_BEATS
        compound = self.lower == 8 and self.upper in (3, 6, 9, 12)
        if not simple and not compound:
            raise TuneError(
                Problem(
                    found=f"meter {self.upper}/{self.lower}",
                    rule="A meter is counted in quarters (4/4, 3/4, 2/4 …) or in dotted quarters",
                    mend="write 4/4, 3/4, 2/4, 6/8, 9/8 or 12/8",
                )
            )

    @property
    def compound(self) -> bool:
        return self.lower == 8

    @property
    def beats(self) -> int:
        """Counted beats, that is cells, in a bar."""
        return self.upper // 3 if self.compound else self.upper

    @property
    def beat_quarters(self) -> Fraction:
        """Length of a counted beat in quarter notes."""
        return Fraction(3, 2) if self.compound else Fraction(1)

    def __str__(self) -> str:
        return f"{self.upper}/{self.lower}"


@dataclass(frozen=True, slots=True)
class Feel:
    """`ratio`: long:short of a swung beat, exact; None follows the tempo."""

    name: str = "straight"
    ratio: Fraction | None = Fraction(1)

    def __post_init__(self) -> None:
        low, high = SWING_LIMITS
        if self.ratio is not None and not low <= self.ratio <= high:
            raise TuneError(
                Problem(
                    found=f"swing {self.ratio}",
                    rule="A swing ratio lies between 1 (straight) and 3.5",
                    mend="write shuffle (2:1), straight, or swing 1.5:1",
                )
            )

    def ratio_at(self, tempo_bpm: Fraction) -> Fraction:
        """The exact long:short ratio at a tempo.

        >>> Feel("swing by tempo", None).ratio_at(Fraction(200))
        Fraction(2, 1)
        """
        if self.ratio is not None:
            return self.ratio
        short = Fraction(SHORT_NOTE_MS)
        free = (Fraction(60_000) / tempo_bpm - short) / short
        return min(max(free, SWING_LIMITS[0]), SWING_LIMITS[1]).limit_denominator(100)


def parse_meter(text: str) -> Meter:
    """`4/4`, `12/8`. Errors: TuneError."""
    match = _METER.fullmatch(text.strip())
    if match is None:
        raise TuneError(
            Problem(
                found=f"meter {shown(text)}",
                rule="A meter is two numbers with a stroke between",
                mend="write it like 4/4 or 12/8",
            )
        )
    return Meter(int(match[1]), int(match[2]))


def parse_feel(text: str) -> Feel:
    """`straight`, `shuffle`, `swing 1.5:1`, `swing by tempo`. Errors: TuneError."""
    plain = " ".join(text.lower().split())
    if plain == "straight":
        return Feel()
    if plain == "shuffle":
        return Feel("shuffle", Fraction(2))
    if plain == "swing by tempo":
        return Feel(plain, None)
    match = _SWING.fullmatch(plain)
    if match is None or match[2] == "0" or match[2] == "00":
        raise TuneError(
            Problem(
                found=f"feel {shown(text)}",
                rule="A feel is straight, shuffle, swing with a ratio, or swing by tempo",
                mend="write shuffle, or swing 1.5:1",
            )
        )
    return Feel(plain, Fraction(match[1]) / int(match[2] or 1))
