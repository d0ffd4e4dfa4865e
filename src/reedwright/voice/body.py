"""What lies between the reeds and the air at the lips: a filter for every note alike.

Conventions: hertz; 48 kHz. One pole that opens with the breath (louder is brighter; a mouth with
the tongue on the harp stays darker), then a fixed shape: no rumble, a slight presence, air that
takes the top away. Corner frequencies from memory, a design.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import signal

from reedwright.kernels import kernel
from reedwright.voice.chamber import Line
from reedwright.voice.levels import MEDIUM_BREATH
from reedwright.voice.values import BLOCK, SAMPLE_HZ

CORNER_HZ = 1_700.0  # of the pole at a medium breath
CORNER_POWER = 2.0  # how it opens with the breath
CORNER_RANGE_HZ = (400.0, 9_000.0)
BLOCKED_SHARE = 0.6  # of the corner that a tongue block leaves
RUMBLE_HZ = 70.0
PRESENCE_HZ, PRESENCE_DB, PRESENCE_Q = 2_700.0, 3.0, 1.1
AIR_HZ = 9_500.0


def corners_hz(breath: Line, blocked: bool) -> Line:
    """The pole's corner at each breath."""
    open_hz = CORNER_HZ * (np.maximum(breath, 0.01) / MEDIUM_BREATH) ** CORNER_POWER
    return np.asarray(np.clip(open_hz * (BLOCKED_SHARE if blocked else 1.0), *CORNER_RANGE_HZ))


@lru_cache(1)
def _shape() -> NDArray[np.float64]:
    """The fixed part, as second-order sections."""
    rumble = signal.butter(1, RUMBLE_HZ, "highpass", fs=SAMPLE_HZ, output="sos")
    air = signal.butter(2, AIR_HZ, "lowpass", fs=SAMPLE_HZ, output="sos")
    return np.asarray(np.vstack([rumble, air, _presence()]))


def _presence() -> NDArray[np.float64]:
    """A peak with gain (the usual bilinear form of a second-order peak, common practice)."""
    amplitude, turn = 10 ** (PRESENCE_DB / 40), 2 * np.pi * PRESENCE_HZ / SAMPLE_HZ
    side, middle = np.sin(turn) / (2 * PRESENCE_Q), -2 * np.cos(turn)
    top = [1 + side * amplitude, middle, 1 - side * amplitude]
    under = [1 + side / amplitude, middle, 1 - side / amplitude]
    return np.asarray(np.array([[*top, *under]]) / under[0])


def gain_at(hertz: Line, corner_hz: float) -> Line:
    """How much of each frequency comes through, as amplitude, with the pole at one corner."""
    delay = np.exp(-2j * np.pi * np.minimum(hertz, SAMPLE_HZ / 2 - 1) / SAMPLE_HZ)
    keep = np.exp(-2 * np.pi * corner_hz / SAMPLE_HZ)
    response = (1 - keep) / (1 - keep * delay)
    for b0, b1, b2, a0, a1, a2 in _shape():
        response *= (b0 + delay * (b1 + delay * b2)) / (a0 + delay * (a1 + delay * a2))
    return np.asarray(np.abs(response))


def through_body(samples: Line, corner_hz: Line) -> Line:
    """A sound as it leaves the lips; `corner_hz` once a millisecond, one more at the end."""
    _pole(samples, np.exp(-2 * np.pi * corner_hz / SAMPLE_HZ))
    return np.asarray(signal.sosfilt(_shape(), samples))


@kernel(fast=True)
def _pole(samples: Line, keep: Line) -> None:
    """One pole that moves, in place."""
    held = 0.0
    for block in range(len(keep) - 1):
        now, step = keep[block], (keep[block + 1] - keep[block]) / BLOCK
        for index in range(block * BLOCK, min((block + 1) * BLOCK, len(samples))):
            held = samples[index] + now * (held - samples[index])
            samples[index] = held
            now += step
