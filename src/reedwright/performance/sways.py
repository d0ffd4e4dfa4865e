"""Swings and glides: the shapes that curves are put together from.

Conventions: seconds from the onset of a note. A swing runs from 0 to 1 and back, 0 at its start,
as a raised cosine; curves hold it as straight pieces (see `habits`).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, cos, pi, tau

from reedwright.performance.habits import (
    CYCLE_POINTS,
    FASTEST_HZ,
    GLIDE_POINTS,
    VIBRATO_DELAY_S,
    VIBRATO_GROWTH_S,
)
from reedwright.performance.playing import Curve
from reedwright.tune.marks import Mark

Points = list[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Sway:
    """A swing of `hz` from `start_s` to `end_s`, growing for `growth_s`; `phase` in cycles."""

    hz: float
    start_s: float
    end_s: float
    growth_s: float = 0.0
    phase: float = 0.0
    points: int = CYCLE_POINTS

    def at(self, time_s: float) -> float:
        """0 before it starts; after its end it stays where it was."""
        since_s = min(time_s, self.end_s) - self.start_s
        if since_s < 0:
            return 0.0
        grown = 1.0 if since_s >= self.growth_s else since_s / self.growth_s
        return grown * (1 - cos(tau * (self.hz * since_s + self.phase))) / 2

    def times_s(self) -> list[float]:
        """Where a curve needs points, both ends included."""
        length_s = self.end_s - self.start_s
        if length_s <= 0:
            return []
        steps = max(1, ceil(length_s * self.hz * self.points))
        return [self.start_s + length_s * step / steps for step in range(steps)] + [self.end_s]


def vibrato(hz: float, start_s: float, end_s: float) -> Sway:
    """A swing that comes in late and grows, as players let it."""
    length_s = max(0.0, end_s - start_s)
    delay_s = min(VIBRATO_DELAY_S, length_s / 4)
    return Sway(hz, start_s + delay_s, end_s, min(VIBRATO_GROWTH_S, length_s / 4))


def rate_hz(mark: Mark, beat_s: float, own_hz: float) -> float:
    """The rate of a mark in hertz; `own_hz` where the tune leaves it to the player."""
    return per_second(mark.amount, beat_s, own_hz)


def per_second(rate: Fraction, beat_s: float, own_hz: float) -> float:
    """A rate per counted beat as one per second, no faster than anybody moves."""
    return min(float(rate) / beat_s if rate else own_hz, FASTEST_HZ)


def eased(start_s: float, end_s: float, first: float, last: float) -> Points:
    """A glide that starts and stops gently, both ends included."""
    pieces = [piece / GLIDE_POINTS for piece in range(GLIDE_POINTS + 1)]
    return [
        (start_s + (end_s - start_s) * x, first + (last - first) * (1 - cos(pi * x)) / 2)
        for x in pieces
    ]


def curve(points: Points) -> Curve:
    """A curve through points in the order of time."""
    times_s, values = zip(*points, strict=True)
    return Curve(times_s, values)
