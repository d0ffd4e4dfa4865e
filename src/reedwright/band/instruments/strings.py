"""Plucked strings: upright and electric bass, and the comping guitar.

Conventions: a string is plucked at a share of its length, by a finger or a pick that is the harder
the brighter; its loop is tuned so that delay, loss and allpass together last one period exactly
(a first-order allpass has an exact formula for its phase delay at one frequency). What leaves the
string passes a pickup, where there is one, and a body or loudspeaker.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache
from math import atan2, cos, pi, sin, sqrt

import numpy as np

from reedwright.band.instruments.filters import high_pass, low_pass, resonances, smeared
from reedwright.band.instruments.kernels import string
from reedwright.band.instruments.seeds import Wave, noise, share
from reedwright.band.instruments.values import RATE_HZ, NoteKey, frequency_hz, kind_of

MOST_GAIN = 0.99999
"""Of the loop at 0 Hz: below 1, so that every string falls silent."""

BRIGHT_HZ = 2000.0
"""Where `bright_s` is meant."""


@dataclass(frozen=True, slots=True)
class StringKind:
    """A kind of string, in the words and units of data/instruments.toml."""

    sustain_s: float
    sustain_hz: float
    bright_s: float
    pluck: float
    slope_hz: float
    soft_hz: float
    hard_hz: float
    noise_db: float
    noise_s: float
    pickup: float
    drive: float
    low_cut_hz: float
    high_cut_hz: float
    smear_hz: float
    smear: int
    body: tuple[tuple[float, float, float], ...]


@cache
def string_kind(name: str) -> StringKind:
    return kind_of(StringKind, "string", name, (field.name for field in fields(StringKind)))


def plucked(key: NoteKey, samples: int) -> Wave:
    """A string plucked once and left alone."""
    kind = string_kind(key.instrument)
    hz = frequency_hz(key.midi)
    delay, allpass, pole, gain = _loop(kind, hz)
    drive = _pluck(kind, key, hz, samples)
    wave = string(drive, delay, allpass, pole, gain)
    if kind.pickup:
        wave = _less_delayed(wave, kind.pickup * RATE_HZ / hz)
    wave = smeared(high_pass(wave, kind.low_cut_hz), kind.smear_hz, kind.smear)
    wave = resonances(wave, kind.body)
    if kind.drive:
        wave = _driven(low_pass(wave, kind.high_cut_hz, 2), kind.drive)
    return low_pass(wave, kind.high_cut_hz, 4)


def _loop(kind: StringKind, hz: float) -> tuple[int, float, float, float]:
    """Delay in samples, allpass coefficient, pole and gain of a loop one period long."""
    turn = 2 * pi * hz / RATE_HZ
    sustain_s = kind.sustain_s * sqrt(kind.sustain_hz / hz)
    kept = 10 ** (-3 / (hz * sustain_s))
    kept_bright = 10 ** (-3 / (hz * min(kind.bright_s, sustain_s)))
    pole = _pole(min(1.0, kept_bright / kept))
    gain = min(MOST_GAIN, kept / _size(pole, turn))
    lost = atan2(pole * sin(turn), 1 - pole * cos(turn)) / turn
    rest = RATE_HZ / hz - lost
    delay = int(rest - 0.5)
    late = rest - delay
    allpass = sin((1 - late) * turn / 2) / sin((1 + late) * turn / 2)
    return delay, allpass, pole, gain


def _size(pole: float, turn: float) -> float:
    """Gain of a one-pole low-pass at an angle."""
    return (1 - pole) / sqrt(1 - 2 * pole * cos(turn) + pole * pole)


def _pole(wanted: float) -> float:
    """The pole whose gain at BRIGHT_HZ is the wanted one, by halving."""
    turn = 2 * pi * BRIGHT_HZ / RATE_HZ
    low, high = 0.0, 0.999
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if _size(middle, turn) > wanted else (low, middle)
    return low


def _pluck(kind: StringKind, key: NoteKey, hz: float, samples: int) -> Wave:
    """What the finger puts in: a soft pulse and its noise, with the comb of where it plucks."""
    drive = np.zeros(samples)
    drive[0] = 1.0
    count = min(samples, int(kind.noise_s * RATE_HZ) + 1)
    rough = noise(key.text("finger"), count) * np.hanning(2 * count)[count:]
    drive[:count] += 10 ** (kind.noise_db / 20) * (0.5 + key.velocity) * rough / sqrt(count)
    bright_hz = kind.soft_hz * (kind.hard_hz / kind.soft_hz) ** key.velocity
    bright_hz *= 1 + 0.05 * share(key.text("bright"))  # no two strokes are equally hard
    drive = low_pass(low_pass(drive, bright_hz, 2), kind.slope_hz, 1)
    place = kind.pluck * (1 + 0.06 * share(key.text("place")))  # nor in the same place
    return _less_delayed(drive, place * RATE_HZ / hz)


def _less_delayed(wave: Wave, delay: float) -> Wave:
    """A wave less itself some time ago: the comb of a place on a string."""
    whole, part = int(delay), delay - int(delay)
    out = wave.copy()
    out[whole:] -= (1 - part) * wave[: wave.size - whole]
    out[whole + 1 :] -= part * wave[: wave.size - whole - 1]
    return out


def _driven(wave: Wave, drive: float) -> Wave:
    """A gentle overload: even and odd harmonics of a wave that holds little above 5 kHz."""
    pushed = wave * (drive / max(1e-9, float(np.abs(wave).max())))
    made: Wave = np.tanh(pushed + 0.15) - np.tanh(0.15)
    return high_pass(made, 20.0, 1)
