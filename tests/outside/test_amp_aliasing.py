"""Aliases of the bent stages against theory: a probe whose legal products lie on a known grid.

A steady tone of f hertz through any system that does not change with time gives lines at whole
multiples of f and nowhere else (Fourier; a law, no source needed). What a sampled system puts
elsewhere is an alias. Tones are primes, so that no alias of the 48 kHz clock, or of 384 kHz, falls
on the grid. Lines within `SKIRT_HZ` of the grid are not judged: the supply's slow sag widens them.
The gate of -80 dB is the project's own; measured: -92 dB at worst.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from reedwright.amp.rig import (
    POWER_DRIVE_DB,
    PREAMP_DRIVE_DB,
    Rig,
    power_drive_db,
    preamp_drive_db,
)
from tests.amp.signals import CLOSED, OPEN, lines, sines, without_room

FULL_SCALE_RMS = 0.5**0.5
SKIRT_HZ = 20
GATE_DB = -80.0


def driven(preamp_db: float, power_db: float) -> Rig:
    """The default rig with both stages driven so far over their headroom, its treble not cut."""
    rig = without_room()
    gain = rig.preamp.gain_db + preamp_db - preamp_drive_db(rig.cup, rig.microphone, rig.preamp)
    preamp = replace(rig.preamp, gain_db=gain, treble_db=0.0)
    volume = rig.power.volume_db + power_db - power_drive_db(preamp, rig.power)
    return replace(rig, preamp=preamp, power=replace(rig.power, volume_db=volume))


def worst_alias_db(spectrum: np.ndarray, tone_hz: int) -> float:
    """The greatest line off the grid, over the tone's own."""
    hz = np.arange(len(spectrum))
    off = np.minimum(hz % tone_hz, tone_hz - hz % tone_hz) > SKIRT_HZ
    off[:SKIRT_HZ] = False
    return float(20 * np.log10(spectrum[off].max() / spectrum[tone_hz]))


@pytest.mark.parametrize("tone_hz", [311, 997, 1499, 2003, 2503, 2999])
@pytest.mark.parametrize("openness", [CLOSED, OPEN])
def test_aliases_at_the_stated_maximum_drive(tone_hz: int, openness: float) -> None:
    rig = driven(PREAMP_DRIVE_DB, POWER_DRIVE_DB)
    tone = sines(tone_hz, rms=FULL_SCALE_RMS)
    assert worst_alias_db(lines(tone, openness, rig), tone_hz) <= GATE_DB


def test_aliases_of_the_default_rig_at_full_scale() -> None:
    tone = sines(2999, rms=FULL_SCALE_RMS)
    assert worst_alias_db(lines(tone, CLOSED, without_room()), 2999) <= GATE_DB


def test_the_probe_sees_aliases_where_there_are_some() -> None:
    """The same curve at the plain rate, without any care: far above the gate."""
    tone = 100 * sines(2999, rms=FULL_SCALE_RMS).astype(np.float64)
    careless = np.abs(np.fft.rfft((tone / np.sqrt(1 + tone**2))[-48_000:]))
    assert worst_alias_db(careless, 2999) > -40


def test_the_drive_is_what_it_says() -> None:
    """A full-scale sample, hands closed, at the preamp: 36 dB over the headroom by hand."""
    rig = driven(PREAMP_DRIVE_DB, POWER_DRIVE_DB)
    volts = 20.0 * rig.microphone.sensitivity_mv_per_pa / 1000
    volts *= 10 ** ((rig.cup.closed_gain_db + rig.preamp.gain_db) / 20)
    assert 20 * np.log10(volts / rig.preamp.headroom_v) == pytest.approx(36.0)
