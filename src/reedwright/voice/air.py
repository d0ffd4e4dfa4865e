"""The breath itself: a hiss that follows it, and the consonant of a tongued start.

Conventions: chance is keyed by the segment, so that equal notes hiss and waver alike; levels in
dBFS RMS at a medium breath. Band and levels from memory, a design.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import signal

from reedwright.kernels import kernel
from reedwright.voice.chamber import Line
from reedwright.voice.levels import MEDIUM_BREATH
from reedwright.voice.values import BLOCK, CONTROL_HZ, SAMPLE_HZ, Segment

AIR_DBFS = -62.0
AIR_POWER = 1.4  # it grows more slowly than the tone
BAND_HZ = (900.0, 6_500.0)
CONSONANT = 3.0  # a tongued start hisses so many times more
CONSONANT_S = 0.012  # and comes down in this time
UNSTEADY = 0.015  # share by which the breath wavers (spread)
WAVERS_HZ = 12  # new values a second


def air(segment: Segment, breath: Line) -> Line:
    """The hiss of a segment; `breath` once a millisecond, one more at the end."""
    seed = int(segment.key[:16], 16)
    noise = np.random.default_rng(seed).random(segment.samples) - 0.5
    level = 10 ** (AIR_DBFS / 20) * (np.maximum(breath, 0) / MEDIUM_BREATH) ** AIR_POWER
    gone_s = np.arange(len(breath)) / CONTROL_HZ
    level *= 1 + CONSONANT * segment.tongued * np.exp(-gone_s / CONSONANT_S)
    hiss = signal.sosfilt(_band(), noise)
    _shape(hiss, level)
    return np.asarray(hiss)


def unsteadiness(segment: Segment) -> Line:
    """What the breath is multiplied with each millisecond, one more at the end: none is even."""
    length_s = segment.blocks / CONTROL_HZ
    moments = np.arange(int(length_s * WAVERS_HZ) + 3) / WAVERS_HZ
    drawn = np.random.default_rng(int(segment.key[16:32], 16)).standard_normal(len(moments))
    values = 1 + UNSTEADY * np.clip(drawn, -2, 2)
    return np.interp(np.arange(segment.blocks + 1) / CONTROL_HZ, moments, values)


@kernel(fast=True)
def _shape(hiss: Line, level: Line) -> None:
    """Times the level, in place."""
    for block in range(len(level) - 1):
        now, step = level[block], (level[block + 1] - level[block]) / BLOCK
        for index in range(block * BLOCK, min((block + 1) * BLOCK, len(hiss))):
            hiss[index] *= now
            now += step


@lru_cache(1)
def _band() -> NDArray[np.float64]:
    """The band, with an RMS of 1 for evenly spread noise of -0.5 to 0.5."""
    sections = signal.butter(1, BAND_HZ, "bandpass", fs=SAMPLE_HZ, output="sos")
    _, response = signal.sosfreqz(sections, worN=4_096, fs=SAMPLE_HZ)
    sections[0, :3] /= np.sqrt((np.abs(response) ** 2).mean() / 12)
    return np.asarray(sections)
