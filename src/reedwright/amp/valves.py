"""Preamplifier and power stage: where the sound breaks up.

Conventions: phases of volts in, phases of volts out (see `kernels`). Each stage rounds off softly,
x / sqrt(1 + x²), off its middle by its bias: the two halves of the wave meet their limits at
different levels, which makes even harmonics. Between the stages a coupling takes the standing
voltage away and two shelves shape the tone. The power stage's supply gives way under load: its
headroom falls by up to `sag_percent`. Sources: the curve is a design; the corners are from memory.
"""

from __future__ import annotations

import numpy as np

from reedwright.amp.finite import RATE_HZ, Floats
from reedwright.amp.kernels import load, shape, swing, tone
from reedwright.amp.oversample import FACTOR
from reedwright.amp.pickup import pole, pole_of_time
from reedwright.amp.rig import amplitude
from reedwright.amp.values import Power, Preamp, Tremolo

COUPLING_HZ = 30.0  # from memory
STRAY_HZ = 14_000.0  # from memory: stray capacitance, and what keeps the second stage from aliases
BASS_HZ = 160.0  # from memory: below the lowest reed but of the low harps
TREBLE_HZ = 1_800.0  # from memory


def resting(bias: float) -> Floats:
    """The state of a stage that has had silence for ever."""
    return np.array([bias, np.sqrt(1 + bias * bias)])


class PreampStage:
    """Gain, rounding off, tone."""

    __slots__ = ("_bias", "_coefficients", "_drive", "_gain", "_shape", "_tone")

    def __init__(self, preamp: Preamp) -> None:
        fast_hz = FACTOR * RATE_HZ
        self._gain = amplitude(preamp.gain_db)
        self._drive = 1 / preamp.headroom_v
        self._bias = preamp.bias_percent / 100
        self._shape, self._tone = resting(self._bias), np.zeros(4)
        self._coefficients = np.array(
            [
                pole(COUPLING_HZ, fast_hz),
                pole(STRAY_HZ, fast_hz),
                pole(BASS_HZ, fast_hz),
                amplitude(preamp.bass_db) - 1,
                pole(TREBLE_HZ, fast_hz),
                amplitude(preamp.treble_db) - 1,
            ]
        )

    def __call__(self, phases: Floats) -> Floats:
        drive = np.full(phases.shape[1], self._drive)
        shape(phases, self._gain, drive, self._bias, self._shape)
        tone(phases, self._coefficients, self._tone)
        return phases


class PowerStage:
    """Volume, tremolo, rounding off with a supply that gives way."""

    __slots__ = ("_bias", "_hand", "_load", "_power", "_shape", "_tremolo", "_volume")

    def __init__(self, power: Power, tremolo: Tremolo) -> None:
        self._power, self._tremolo = power, tremolo
        self._volume = amplitude(power.volume_db)
        self._bias = power.bias_percent / 100
        self._shape, self._load = resting(self._bias), np.zeros(1)
        self._hand = np.array([1.0, 0.0])  # the tremolo begins at its top

    def __call__(self, phases: Floats) -> Floats:
        if self._tremolo.depth_percent:
            turn = 2 * np.pi * self._tremolo.rate_hz / RATE_HZ
            swing(phases, self._tremolo.depth_percent / 100, turn, self._hand)
        volts, sag = self._power.headroom_v, self._power.sag_percent / 100
        pole_ = pole_of_time(self._power.sag_ms)
        work = load(phases, volts / self._volume, pole_, self._load)
        shape(phases, self._volume, 1 / (volts * (1 - sag * work)), self._bias, self._shape)
        return phases
