"""Cup and microphone: from samples at the lips to volts.

Conventions: pascals are samples times `FULL_SCALE_PA`. Openness 0 closed, 1 open. The closed hands'
gain fades out evenly in decibels, their treble cut evenly in octaves, as they open. The
microphone's low cut is one pole, its high cut four (Butterworth). Sources: from memory.
"""

from __future__ import annotations

import numpy as np
from scipy.signal import butter

from reedwright.amp.finite import RATE_HZ, Floats, Sound
from reedwright.amp.kernels import cascade, hands
from reedwright.amp.rig import FULL_SCALE_PA
from reedwright.amp.values import Cup, Microphone

HANDS_MS = 4.0
"""Hands are not faster (from memory); keeps a jump of the cup line from clicking."""

_GRID = 128


def pole(cut_hz: float, rate_hz: float = RATE_HZ) -> float:
    """The coefficient of a one-pole low-pass: what it takes up of a step in one sample."""
    return float(-np.expm1(-2 * np.pi * cut_hz / rate_hz))


def pole_of_time(time_ms: float, rate_hz: float = RATE_HZ) -> float:
    """The same for a time constant."""
    return float(-np.expm1(-1000 / (time_ms * rate_hz)))


class Hands:
    """The cup round the microphone."""

    __slots__ = ("_cut", "_gain", "_state")

    def __init__(self, cup: Cup) -> None:
        openness = np.linspace(0.0, 1.0, _GRID)
        cut_hz = cup.closed_cut_hz * (cup.open_cut_hz / cup.closed_cut_hz) ** openness
        self._cut = -np.expm1(-2 * np.pi * cut_hz / RATE_HZ)
        self._gain = 10 ** (cup.closed_gain_db * (1 - openness) / 20)
        self._state = np.array([np.nan, 0.0, 0.0])

    def __call__(self, samples: Sound, openness: Sound) -> Floats:
        if np.isnan(self._state[0]) and len(openness):
            self._state[0] = min(
                max(float(openness[0]), 0.0), 1.0
            )  # the hands are where they are when the sound begins
        return hands(samples, openness, self._cut, self._gain, pole_of_time(HANDS_MS), self._state)


class Capsule:
    """The microphone: pressure in samples, volts out."""

    __slots__ = ("_sections", "_state", "_volts")

    def __init__(self, microphone: Microphone) -> None:
        low = butter(1, microphone.low_cut_hz, "highpass", fs=RATE_HZ, output="sos")
        high = butter(4, microphone.high_cut_hz, "lowpass", fs=RATE_HZ, output="sos")
        self._sections = np.vstack([low, high])
        self._state = np.zeros((len(self._sections), 2))
        self._volts = FULL_SCALE_PA * microphone.sensitivity_mv_per_pa / 1000

    def __call__(self, samples: Floats) -> Floats:
        return cascade(samples * self._volts, self._sections, self._state)
