"""Filters that shape a sound: corners, a body's resonances, a loudspeaker.

Conventions: frequencies in Hz at 48 kHz. Resonances are peaking equalisers (Bristow-Johnson's audio
equaliser formulas); corners are Butterworth filters.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from math import cos, pi, sin
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, sosfilt

from reedwright.band.instruments.seeds import Wave
from reedwright.band.instruments.values import RATE_HZ

K_SECTIONS = (
    (1.53512485958697, -2.69169618940638, 1.19839281085285, 1, -1.69065929318241, 0.73248077421585),
    (1.0, -2.0, 1.0, 1, -1.99004745483398, 0.99007225036621),
)
"""ITU-R BS.1770: the head's shelf and the high-pass."""

SMEAR_Q = 0.5
"""Both poles of a smearing allpass in one place: no ringing of its own."""

HIGHEST_HZ = 0.45 * RATE_HZ
"""Corners above this are as good as none."""


def low_pass(wave: Wave, hz: float, order: int = 2) -> Wave:
    if hz >= HIGHEST_HZ:
        return wave
    return _filtered(wave, "lowpass", hz, order)


def high_pass(wave: Wave, hz: float, order: int = 2) -> Wave:
    return _filtered(wave, "highpass", hz, order)


def band_pass(wave: Wave, low_hz: float, high_hz: float, order: int = 1) -> Wave:
    return low_pass(high_pass(wave, low_hz, order), high_hz, order)


def _filtered(wave: Wave, kind: str, hz: float, order: int) -> Wave:
    made: Wave = sosfilt(_sections(kind, hz, order), wave, axis=0)
    return made


@cache
def _sections(kind: str, hz: float, order: int) -> Wave:
    made: Wave = butter(order, hz, kind, fs=RATE_HZ, output="sos")
    return made


def resonances(wave: Wave, peaks: Iterable[tuple[float, float, float]]) -> Wave:
    """Peaks (or dips) one after another: centre in Hz, gain in dB, Q."""
    sections = [_peak(hz, gain_db, q) for hz, gain_db, q in peaks]
    if not sections:
        return wave
    made: Wave = sosfilt(np.array(sections), wave)
    return made


def smeared(wave: Wave, hz: float, turns: int) -> Wave:
    """The same spectrum with its phases spread out: `turns` allpasses of second order at `hz`.

    What a body and a stiff string do to a sharp pulse; it also leaves more headroom.
    """
    turn = 2 * pi * hz / RATE_HZ
    alpha = sin(turn) / (2 * SMEAR_Q)
    back, ahead = (1 - alpha) / (1 + alpha), -2 * cos(turn) / (1 + alpha)
    made: Wave = sosfilt(np.array([[back, ahead, 1.0, 1.0, ahead, back]] * turns), wave)
    return made


def k_weighted(wave: NDArray[Any]) -> Wave:
    """A wave (samples first) as loudness hears it: the two filters of ITU-R BS.1770 at 48 kHz."""
    made: Wave = sosfilt(np.array(K_SECTIONS), wave.astype(np.float64), axis=0)
    return made


def _peak(hz: float, gain_db: float, q: float) -> list[float]:
    turn = 2 * pi * hz / RATE_HZ
    alpha, amp = sin(turn) / (2 * q), 10 ** (gain_db / 40)
    scale = 1 + alpha / amp
    return [
        (1 + alpha * amp) / scale,
        -2 * cos(turn) / scale,
        (1 - alpha * amp) / scale,
        1.0,
        -2 * cos(turn) / scale,
        (1 - alpha / amp) / scale,
    ]
