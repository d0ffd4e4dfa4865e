"""What the voice plays: holes, lines and segments.

Conventions: hertz of the closing reed (the reed a natural note sounds), semitones from it to the
opening reed, cents from the closing reed; curves run in seconds from the start of their segment.
Numbers are rounded when a line is made, so that equal notes are equal and share their samples.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from math import isfinite

from reedwright.performance.playing import Curve

RECIPE = 2
"""Goes up when the same segment gives other samples."""

SAMPLE_HZ = 48_000
CONTROL_HZ = 1_000
BLOCK = SAMPLE_HZ // CONTROL_HZ
MOST_INTERVAL = 6  # semitones between the reeds of a hole; wider pairs are played as this


@dataclass(frozen=True, slots=True)
class Hole:
    """A hole as one breath finds it. `interval` 0: no other reed takes part (valved, or alike)."""

    closing_hz: float
    interval: int
    over: bool = False

    def __post_init__(self) -> None:
        if not 0 < self.closing_hz < SAMPLE_HZ / 2 or abs(self.interval) > MOST_INTERVAL:
            raise ValueError(f"Voice: no hole has {self}.")


@dataclass(frozen=True, slots=True)
class HoleLine:
    """What one hole does through a segment.

    Attributes:
        cents: pitch above the closing reed.
        breath: 0 to 1.
        share: of the sound, 0 to 1: a shake, a rake and a chord share it among holes.
        loose: whether it sounds beside others and so has a slow detune of its own.
        modelled: whether the chamber model plays it (else the wavetable).
    """

    hole: Hole
    cents: Curve
    breath: Curve
    share: Curve
    loose: bool = False
    modelled: bool = False


@dataclass(frozen=True, slots=True)
class Segment:
    """A run of joined notes on one hole, or one chord, shake, rake …; silence around it.

    `start_sample` in the recording; `samples` its length; `tongued`: the strength of its first
    consonant, 0 none to 1; `blocked`: by tongue block, darker; `key`: a sha256 of all that shapes
    its samples, place and name of the notes left out.
    """

    start_sample: int
    samples: int
    lines: tuple[HoleLine, ...]
    breath: Curve
    tongued: float
    blocked: bool
    key: str = field(init=False)

    def __post_init__(self) -> None:
        if self.start_sample < 0 or self.samples <= 0 or not self.lines:
            raise ValueError(f"Voice: no segment of {self.samples} samples and {self.lines}.")
        said = repr((RECIPE, self.samples, self.lines, self.breath, self.tongued, self.blocked))
        object.__setattr__(self, "key", hashlib.sha256(said.encode()).hexdigest())

    @property
    def blocks(self) -> int:
        """Milliseconds of control."""
        return -(-self.samples // BLOCK)


def rounded(curve: Curve, digits: int) -> Curve:
    """A curve on a grid: times to 10 microseconds, values to so many digits."""
    if not all(map(isfinite, curve.values)):
        raise ValueError("Voice: a curve holds a number that is not finite.")
    times = tuple(round(time_s, 5) + 0.0 for time_s in curve.times_s)
    return Curve(times, tuple(round(value, digits) + 0.0 for value in curve.values))
