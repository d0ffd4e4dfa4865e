"""Findings: what a check says about one place of a tune.

Conventions: `chorus`, `bar` and `beat` as people count them (bar 0 is the first pickup); `line`
and `column` of the source; 0 or empty where a finding is about the tune as a whole.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Any


class Severity(StrEnum):
    """How much a finding weighs: an error must be mended before a sheet is printed."""

    ERROR = "error"
    WARNING = "warning"
    ADVICE = "advice"


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding. `check` is the room's word: place, exists, breath, moves, level, harmony."""

    severity: Severity
    check: str
    found: str
    mend: str = ""
    id: str = ""
    chorus: int = 0
    lick: str = ""
    bar: int = 0
    beat: Fraction = Fraction(0)
    line: int = 0
    column: int = 0

    @property
    def where(self) -> str:
        """`chorus 1 bar 4 beat 4 &`; empty for the tune as a whole."""
        if not self.chorus:
            return ""
        return f"chorus {self.chorus} bar {self.bar} beat {spoken_beat(self.beat)}"

    def as_json(self) -> dict[str, Any]:
        return {
            "severity": self.severity.value,
            "check": self.check,
            "found": self.found,
            "mend": self.mend,
            "id": self.id,
            "chorus": self.chorus,
            "lick": self.lick,
            "bar": self.bar,
            "beat": decimal_beat(self.beat),
            "beat_exact": str(self.beat),
            "line": self.line,
            "column": self.column,
        }


def decimal_beat(beat: Fraction) -> float:
    """A beat for people: rounded to four places."""
    return round(float(beat), 4)


def spoken_beat(beat: Fraction) -> str:
    """A beat as a player counts it: `2`, `2 &`, `2 e`, `2 a`, or `2 and 1/3`."""
    whole, rest = divmod(beat, 1)
    words = {Fraction(0): "", Fraction(1, 2): " &", Fraction(1, 4): " e", Fraction(3, 4): " a"}
    return f"{whole}{words.get(rest, f' and {rest}')}"
