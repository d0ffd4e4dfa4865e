"""What the stages of a rig do to a test note, measured in the stages themselves.

Conventions: a sine of NOTE_HZ, long enough to be steady; RMS levels; distortion is the RMS of the
harmonics over that of the note, in percent. `soft` with open hands and `loud` with closed ones are
6 dB below and above a medium note of -20 dBFS (a design figure). Levels of the sound in the air are
in dB SPL, the speaker's at 1 m without a room.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot, log10

import numpy as np

from reedwright.amp.chain import amplified
from reedwright.amp.finite import RATE_HZ, Floats
from reedwright.amp.oversample import Down, Up
from reedwright.amp.pickup import Capsule, Hands
from reedwright.amp.rig import FULL_SCALE_PA, REFERENCE_PA, Rig, decibels
from reedwright.amp.speaker import Cone
from reedwright.amp.valves import PowerStage, PreampStage

NOTE_HZ = 440
MEDIUM_DBFS = -20.0
"""RMS of a medium note at the lips, as the voice delivers it."""

STEP_DB = 6.0
SETTLE_S, MEASURE_S = 0.8, 0.5
"""Sag and couplings settle in the first; the second holds whole periods."""


@dataclass(frozen=True, slots=True)
class Blow:
    """How the test note is played."""

    name: str
    level_dbfs: float
    openness: float


SOFT_OPEN = Blow("soft, hands open", MEDIUM_DBFS - STEP_DB, 1.0)
LOUD_CLOSED = Blow("loud, hands closed", MEDIUM_DBFS + STEP_DB, 0.0)
BLOWS = (SOFT_OPEN, LOUD_CLOSED)


@dataclass(frozen=True, slots=True)
class Reading:
    """The level behind a stage: `unit` is dB SPL, dBV, dB SPL at 1 m or dBFS; `watts` only where
    there is power."""

    stage: str
    level_db: float
    unit: str
    distortion_percent: float
    watts: float | None = None


def readings(rig: Rig, blow: Blow) -> tuple[Reading, ...]:
    """The test note behind every stage, in the order of the signal."""
    return tuple(_readings(rig, blow))


def _readings(rig: Rig, blow: Blow) -> Iterator[Reading]:
    size = round((SETTLE_S + MEASURE_S) * RATE_HZ)
    turns = np.arange(size) * NOTE_HZ / RATE_HZ
    lips = 10 ** (blow.level_dbfs / 20) * np.sqrt(2) * np.sin(2 * np.pi * turns)
    sound, openness = lips.astype(np.float32), np.full(size, blow.openness, np.float32)
    spl_db = decibels(FULL_SCALE_PA / REFERENCE_PA)
    yield _reading("lips", lips, "dB SPL", spl_db)
    cupped = Hands(rig.cup)(sound, openness)
    yield _reading("cup", cupped, "dB SPL", spl_db)
    volts = Capsule(rig.microphone)(cupped)
    yield _reading("microphone", volts, "dBV", 0.0)
    phases = PreampStage(rig.preamp)(Up()(volts))
    yield _reading("preamp", Down()(phases), "dBV", 0.0)
    driven = Down()(PowerStage(rig.power, rig.tremolo)(phases))
    # a sine that peaks at the headroom gives the rated power, at 1 W the speaker its sensitivity
    rated_db = decibels(np.sqrt(2) / rig.power.headroom_v)
    power = _reading("power stage", driven, "dBV", 0.0)
    watts = rig.power.power_w * 10 ** ((power.level_db + rated_db) / 10)
    yield Reading(power.stage, power.level_db, power.unit, power.distortion_percent, watts)
    at_1_m_db = rated_db + 10 * log10(rig.power.power_w) + rig.speaker.sensitivity_db
    yield _reading("speaker", Cone(rig.speaker)(driven), "dB SPL at 1 m", at_1_m_db)
    heard = amplified(sound, openness, rig)
    yield _reading("recording", heard.astype(np.float64), "dBFS", 0.0)


def _reading(stage: str, samples: Floats, unit: str, offset_db: float) -> Reading:
    steady = samples[-round(MEASURE_S * RATE_HZ) :]
    level_db = decibels(float(np.sqrt(np.mean(steady**2)))) + offset_db
    return Reading(stage, level_db, unit, distortion_percent(steady, NOTE_HZ))


def distortion_percent(steady: Floats, note_hz: float) -> float:
    """Harmonics over the note, of samples that hold whole periods."""
    lines = np.abs(np.fft.rfft(steady))
    note = round(note_hz * len(steady) / RATE_HZ)
    harmonics = lines[2 * note :: note]
    return float(100 * hypot(*harmonics) / lines[note]) if lines[note] else 0.0
