"""The rules of the band: what `data/band.toml` says, or a file of the same form.

Conventions: tempos in counted beats a minute, velocities above 0 up to 1, MIDI notes, intervals in
semitones above a root. What the numbers are and where they come from stands in the file.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from reedwright.band.patterns import Row
from reedwright.band.values import Keys, Part

Strokes = tuple[tuple[int, Row], ...]
"""Rows of the drums, each with its percussion key."""

Lines = Mapping[str, tuple[Row, ...]]
"""Rows of a part: `four`, `three` and `turn`."""

TONES = {
    "1": 0, "b9": 1, "9": 2, "#9": 3, "b3": 3, "3": 4, "4": 5, "11": 5, "b5": 6, "#11": 6, "5": 7,
    "#5": 8, "b13": 8, "6": 9, "13": 9, "bb7": 9, "b7": 10, "7": 11,
}  # fmt: skip
"""Notes of a chord by their names, in semitones above the root. Source: common practice."""


@dataclass(frozen=True, slots=True)
class When:
    """The tunes a style is for; None where it does not matter. `asked`: never chosen by itself."""

    compound: bool | None = None
    swing: bool | None = None
    minor: bool | None = None
    asked: bool = False
    slowest_bpm: float = 0.0
    fastest_bpm: float = 1000.0

    def fits(self, *, compound: bool, swing: bool, minor: bool, tempo_bpm: Fraction) -> bool:
        pairs = ((self.compound, compound), (self.swing, swing), (self.minor, minor))
        met = all(wanted is None or wanted is given for wanted, given in pairs)
        return met and not self.asked and self.slowest_bpm <= tempo_bpm <= self.fastest_bpm


@dataclass(frozen=True, slots=True)
class Style:
    """What the parts play in one feel: grooves by their beats, fills, and lines of each part."""

    name: str
    remark: str
    keyboard: Keys
    when: When
    grooves: Mapping[int, tuple[Strokes, ...]]
    fills: tuple[Strokes, ...]
    lines: Mapping[Part, Lines]


@dataclass(frozen=True, slots=True)
class Rules:
    """Everything in the file. `voicings`: intervals without a root, by part and chord quality."""

    styles: Mapping[str, Style]
    now_and_then: float
    vary: float
    fill: float
    phrase: int
    dynamics: tuple[float, ...]
    jitter: float
    velocity: Mapping[str, float]
    ranges: Mapping[Part, tuple[int, int]]
    approach: Mapping[str, float]
    crash: int
    kick: int
    snare: int
    voicings: Mapping[Part, Mapping[str, tuple[tuple[int, ...], ...]]] = field(default_factory=dict)
