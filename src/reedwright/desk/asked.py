"""What is wanted of a tune's sound. A value by itself, since the server must not load numpy."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Asked:
    """Bars counted from 0 (`bars` None: all that follow), and of what."""

    first_bar: int = 0
    bars: int | None = None
    tempo_bpm: Fraction | None = None
    harp: bool = True
    band: bool = True
    click: bool = False
    amplified: bool = False
