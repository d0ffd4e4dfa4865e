"""The breath itself: a hiss that follows it, and the consonant of a tongued start.

Conventions: noise keyed by the segment, so that the same note hisses alike; levels in dBFS RMS at a
medium breath. Band and levels from memory, a design.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import signal

from reedwright.voice.chamber import Line
from reedwright.voice.levels import MEDIUM_BREATH
from reedwright.voice.values import CONTROL_HZ, SAMPLE_HZ, Segment

AIR_DBFS = -58.0
AIR_POWER = 1.4  # it grows more slowly than the tone
BAND_HZ = (900.0, 6_500.0)
CONSONANT = 3.0  # a tongued start hisses so many times more
CONSONANT_S = 0.012  # and comes down in this time


def air(segment: Segment, breath: Line) -> Line:
    """The hiss of a segment; `breath` once a millisecond, one more at the end."""
    seed = int(segment.key[:16], 16)
    noise = np.random.default_rng(seed).standard_normal(segment.samples, dtype=np.float32)
    level = 10 ** (AIR_DBFS / 20) * (np.maximum(breath, 0) / MEDIUM_BREATH) ** AIR_POWER
    gone_s = np.arange(len(breath)) / CONTROL_HZ
    level *= 1 + CONSONANT * segment.tongued * np.exp(-gone_s / CONSONANT_S)
    times = np.arange(segment.samples) * (CONTROL_HZ / SAMPLE_HZ)
    shaped = np.interp(times, np.arange(len(level)), level)
    return np.asarray(signal.sosfilt(_band(), noise) * shaped)


@lru_cache(1)
def _band() -> NDArray[np.float64]:
    """The band, with an RMS of 1 for noise of an RMS of 1."""
    sections = signal.butter(1, BAND_HZ, "bandpass", fs=SAMPLE_HZ, output="sos")
    _, response = signal.sosfreqz(sections, worN=4_096, fs=SAMPLE_HZ)
    sections[0, :3] /= np.sqrt((np.abs(response) ** 2).mean())
    return np.asarray(sections)
