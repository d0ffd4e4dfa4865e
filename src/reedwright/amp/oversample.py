"""Up to FACTOR times the rate and back: one linear-phase low-pass for both ways.

Conventions: the filter passes up to PASS_HZ and stops from the half of the plain rate on, so that
what the bent stages make above is gone before the rate goes down, and no image of the sound comes
up. Both ways together are late by DELAY plain samples exactly; the chain takes them off. Why
eight times: at the stated maximum drive four times leave aliases of a 3 kHz tone at -72 dB,
eight times at -92 dB (tests/outside/test_amp_aliasing.py).
"""

from __future__ import annotations

from functools import cache

import numpy as np
from scipy.signal import firwin

from reedwright.amp.finite import RATE_HZ, Floats
from reedwright.amp.kernels import downsample, upsample

FACTOR = 8
DELAY = 30
PASS_HZ = 14_000  # the speaker has fallen by more than 30 dB there
_KAISER = 9.6  # a stop band of -96 dB (Kaiser's formula)


@cache
def taps() -> Floats:
    """The filter in phases, shape (FACTOR, taps of a phase); its sum is 1."""
    length = FACTOR * DELAY + 1
    middle_hz = (PASS_HZ + RATE_HZ / 2) / 2
    line = firwin(length, middle_hz, window=("kaiser", _KAISER), fs=FACTOR * RATE_HZ)
    padded = np.zeros(-(-length // (4 * FACTOR)) * 4 * FACTOR)  # the kernels take four at a time
    padded[:length] = line
    return np.ascontiguousarray(padded.reshape(-1, FACTOR).T)


class Up:
    """Plain samples in, phases out; blocks follow each other without a seam."""

    __slots__ = ("_past",)

    def __init__(self) -> None:
        self._past = np.zeros(taps().shape[1])

    def __call__(self, samples: Floats) -> Floats:
        return upsample(samples, taps(), self._past)


class Down:
    """Phases in, plain samples out."""

    __slots__ = ("_past",)

    def __init__(self) -> None:
        self._past = np.zeros((FACTOR, taps().shape[1] + 1))

    def __call__(self, phases: Floats) -> Floats:
        return downsample(phases, taps(), self._past)
