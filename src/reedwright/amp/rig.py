"""A rig: all that stands between the harp and the listener, as an amp file describes it.

Conventions: a sample of 1 at the lips is an instantaneous 20 Pa at the microphone with open hands:
a medium note of -20 dBFS RMS is then 100 dB SPL there [from memory: a harp an inch from the
microphone; no published figure was found]. The two drives below are the stated maximum, up to
which aliasing was measured: a full-scale sample with closed hands may exceed the headroom of the
preamp, and the preamp that of the power stage, by so many decibels.
"""

from __future__ import annotations

import hashlib
from dataclasses import asdict, dataclass
from math import inf, log10, sqrt

from reedwright.amp.values import (
    Cup,
    Echo,
    Listening,
    Microphone,
    Power,
    Preamp,
    Room,
    Speaker,
    Spring,
    Stage,
    Tremolo,
)

RECIPE = 1
"""Goes up by one when the same rig and the same sound give other samples than before."""

FULL_SCALE_PA = 20.0
"""The design figure explained above."""

REFERENCE_PA = 20e-6
"""0 dB SPL (ISO 1683)."""

PREAMP_DRIVE_DB, POWER_DRIVE_DB = 36.0, 18.0
"""Measured in tests/outside/test_amp_aliasing.py: both at once leave aliases at -92 dB."""

NAME_CHARS = 60


@dataclass(frozen=True, slots=True)
class Rig:
    """Every stage in the order of the signal, then the stage plan and the listening."""

    name: str
    cup: Cup
    microphone: Microphone
    preamp: Preamp
    power: Power
    speaker: Speaker
    tremolo: Tremolo
    echo: Echo
    spring: Spring
    room: Room
    stage: Stage
    listening: Listening

    def __post_init__(self) -> None:
        if not self.name.strip() or not self.name.isprintable() or len(self.name) > NAME_CHARS:
            raise ValueError(f"The name of a rig is one line of {NAME_CHARS} characters at most.")
        drives = (
            ("preamp", preamp_drive_db(self.cup, self.microphone, self.preamp), PREAMP_DRIVE_DB),
            ("power", power_drive_db(self.preamp, self.power), POWER_DRIVE_DB),
        )
        for what, drive_db, most_db in drives:
            if drive_db > most_db + 1e-9:
                raise ValueError(f"The {what} is driven {drive_db:.1f} dB over its headroom.")

    @property
    def key(self) -> str:
        """SHA-256 of all that shapes the samples: neither the name, the stage plan nor the ears."""
        told = {
            name: {key: float(value) for key, value in section.items()}  # 12 is 12.0
            for name, section in asdict(self).items()
            if name not in ("name", "stage", "listening")
        }
        return hashlib.sha256(f"amp {RECIPE} {told!r}".encode()).hexdigest()


def preamp_drive_db(cup: Cup, microphone: Microphone, preamp: Preamp) -> float:
    """How far the loudest input there is, hands closed, exceeds the preamp's headroom."""
    volts = FULL_SCALE_PA * microphone.sensitivity_mv_per_pa / 1000
    return decibels(volts / preamp.headroom_v) + cup.closed_gain_db + preamp.gain_db


def power_drive_db(preamp: Preamp, power: Power) -> float:
    """How far the preamp's loudest output exceeds the power stage's headroom."""
    volts = limit_v(preamp.headroom_v, preamp.bias_percent)
    lift_db = max(0.0, preamp.bass_db) + max(0.0, preamp.treble_db)
    return decibels(volts / power.headroom_v) + lift_db + power.volume_db


def limit_v(headroom_v: float, bias_percent: float) -> float:
    """What a stage cannot exceed: the farther limit of its curve over the curve's slope at rest."""
    bias = abs(bias_percent) / 100
    rest = bias / sqrt(1 + bias * bias)
    return float(headroom_v * (1 + rest) * (1 + bias * bias) ** 1.5)


def decibels(ratio: float) -> float:
    """Of an amplitude; minus infinity for none."""
    return 20 * log10(ratio) if ratio > 0 else -inf


def amplitude(level_db: float) -> float:
    """The factor a level in decibels stands for."""
    return float(10 ** (level_db / 20))


def rms(peak: float) -> float:
    """Of a sine."""
    return peak / sqrt(2)
