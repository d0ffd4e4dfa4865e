"""The hands round an acoustic harp: closed they make a small resonator, open they let it sing.

Conventions: openness 0 closed, 1 open, one figure a sample at 48 kHz; the sound is float32, shape
(samples,). The hands are a cavity that rings at its Helmholtz resonance,
f = (c / 2 pi) · sqrt(A / (V · L)), and whose opening lets less treble through the smaller it is.
Sizes of the cavity from closed to open are assumed ones (handbook): 300 cm³ behind 1 cm², 200
behind 4, 150 behind 12, a neck of 2 cm. Everything else is a design, from memory.
"""

from __future__ import annotations

from functools import cache
from math import pi, sqrt

import numpy as np
from numpy.typing import NDArray

from reedwright.errors import ReedwrightError
from reedwright.performance.playing import Played, Playing
from reedwright.voice.cup_kernels import moving_filter

RATE_HZ = 48_000
Sound = NDArray[np.float32]

SOUND_M_PER_S = 343.0
"""In air of 20 °C (physics texts)."""

NECK_M = 0.02
SIZES = ((0.0, 300.0, 1.0), (0.5, 200.0, 4.0), (1.0, 150.0, 12.0))
"""Openness, volume in cm³, opening in cm² (assumed sizes)."""

RING_Q = 1.2
"""Soft hands damp the cavity (from memory)."""

CLOSED_RING_DB, OPEN_RING_DB = 7.0, 1.5
"""What the resonance adds at its peak (from memory)."""

CLOSED_FALL_HZ, OPEN_FALL_HZ = 700.0, 14_000.0
"""Where treble begins to fall by 12 dB an octave; in between it moves evenly in octaves (a design,
so that closing at least halves the centroid)."""

HANDS_MS = 4.0
"""Hands are not faster (from memory); keeps a jump of the cup line from clicking."""

_GRID = 256


class CupError(ReedwrightError):
    """Samples or hands the cup cannot work with."""


def helmholtz_hz(volume_cm3: float, opening_cm2: float, neck_m: float = NECK_M) -> float:
    """The resonance of a cavity with a hole.

    >>> round(helmholtz_hz(300, 1))
    223
    """
    volume_m3, opening_m2 = volume_cm3 * 1e-6, opening_cm2 * 1e-4
    return SOUND_M_PER_S / (2 * pi) * sqrt(opening_m2 / (volume_m3 * neck_m))


def acoustic(dry: Sound, cup: Sound) -> Sound:
    """The dry harp as it is heard from hands that open and close, as long as it was.

    Errors: CupError for arrays of different shape or a number that is not finite.
    """
    if dry.ndim != 1 or dry.shape != cup.shape:
        raise CupError(f"cup: hands of shape {cup.shape} for sound of shape {dry.shape}.")
    for what, samples in (("sound", dry), ("hands", cup)):
        if not np.isfinite(np.sum(samples, dtype=np.float64)):
            raise CupError(f"cup: a sample of the {what} is no finite number.")
    pole = -np.expm1(-1000 / (HANDS_MS * RATE_HZ))
    sound, hands = np.ascontiguousarray(dry, np.float32), np.ascontiguousarray(cup, np.float32)
    return moving_filter(sound, hands, _table(), float(pole))


def cup_line(played: Played, samples: int) -> Sound:
    """How open the hands are at every sample of a performance; open where nothing is played yet.

    Between two notes the hands go straight from where the one left them to where the next begins.
    """
    line = np.ones(samples, np.float32)
    at_s, value = 0.0, played.playings[0].cup.at(0.0) if played.playings else 1.0
    for playing in played.playings:
        start_s = max(playing.played_s, at_s)
        _draw(line, (at_s, start_s), (value, playing.cup.at(start_s - playing.played_s)))
        times_s, values = _inside(playing, start_s)
        _draw(line, times_s, values)
        at_s, value = max(at_s, times_s[-1]), values[-1]
    line[min(samples, round(at_s * RATE_HZ)) :] = value
    return np.clip(line, 0.0, 1.0)


def _inside(playing: Playing, start_s: float) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """The corners of a note's cup curve from `start_s` to its end, in seconds of the recording."""
    end_s, curve = playing.played_end_s, playing.cup
    first, last = start_s - playing.played_s, max(start_s, end_s) - playing.played_s
    inside = [at for at in zip(curve.times_s, curve.values, strict=True) if first < at[0] < last]
    corners = [(first, curve.at(first)), *inside, (last, curve.at(last))]
    times_s = tuple(playing.played_s + time_s for time_s, _ in corners)
    return times_s, tuple(value for _, value in corners)


def _draw(line: Sound, times_s: tuple[float, ...], values: tuple[float, ...]) -> None:
    """Straight lines between corners, into the samples they cover."""
    first, last = (min(len(line), round(time_s * RATE_HZ)) for time_s in (times_s[0], times_s[-1]))
    line[first:last] = np.interp(np.arange(first, last) / RATE_HZ, times_s, values)


@cache
def _table() -> NDArray[np.float64]:
    """What `moving_filter` needs, from closed to open."""
    openness = np.linspace(0.0, 1.0, _GRID + 1)
    known, volumes, openings = (np.array(column) for column in zip(*SIZES, strict=True))
    octaves = np.log2([helmholtz_hz(v, a) for v, a in zip(volumes, openings, strict=True)])
    ring_hz = 2 ** np.interp(openness, known, octaves)
    fall_hz = CLOSED_FALL_HZ * (OPEN_FALL_HZ / CLOSED_FALL_HZ) ** openness
    damping = np.full_like(openness, 1 / RING_Q)
    peak = 10 ** ((CLOSED_RING_DB + (OPEN_RING_DB - CLOSED_RING_DB) * openness) / 20)
    corners = (np.tan(np.pi * hz / RATE_HZ) for hz in (ring_hz, fall_hz))
    return np.ascontiguousarray([*corners, damping, (peak - 1) * damping])
