"""A drawbar organ with a slowly turning loudspeaker.

Conventions: nine drawbars from 16′ to 1′, 0 to 8, 3 dB a step; a tone is the sum of sines, none
above TOP_HZ. The loudspeaker's horn (the treble) and drum (the bass) turn at slightly different
speeds: each comes nearer and goes away, which bends the pitch by a few cents and swells the level.
A note's variant is the angle at which the rotor stands when it begins, so that the notes of a chord
share one rotor. A harder touch is no brighter: velocity is the swell pedal, and every note is of
the same layer.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache
from math import pi
from typing import Any

import numpy as np

from reedwright.band.instruments.filters import band_pass
from reedwright.band.instruments.kernels import TABLE, rotor
from reedwright.band.instruments.seeds import Wave, noise, share
from reedwright.band.instruments.values import RATE_HZ, NoteKey, frequency_hz, table

HARMONICS = (1, 3, 2, 4, 6, 8, 10, 12, 16)
"""Of the 16′ tone, in the order of the drawbars 16 5⅓ 8 4 2⅔ 2 1⅗ 1⅓ 1 (common practice)."""

STEP_DB = 3.0
"""A drawbar's step (common practice)."""

TOP_HZ = 6000.0
"""The highest tone a generator of wheels has, about F sharp 8 (from memory)."""

CLICK_S = 0.03
"""The click of the contacts and the ringing of its filter."""

ANGLES = 2
"""Angles of the rotor that are told apart at the beginning of a note."""


@dataclass(frozen=True, slots=True)
class OrganKind:
    """A registration and its loudspeaker, in the words of data/instruments.toml."""

    drawbars: tuple[int, ...]
    split_hz: float
    horn_hz: float
    drum_hz: float
    horn_ms: float
    drum_ms: float
    horn_swell: float
    drum_swell: float
    attack_s: float
    click_db: float


@cache
def organ_kind(name: str) -> OrganKind:
    values: dict[str, Any] = table()["organ"][name]
    wanted = {field.name: values[field.name] for field in fields(OrganKind)}
    wanted["drawbars"] = tuple(wanted["drawbars"])
    return OrganKind(**wanted)


def angle_of(start_s: float, kind: OrganKind) -> int:
    """Where the horn stands at a moment, as the variant of a note that begins then."""
    return int(start_s * kind.horn_hz % 1.0 * ANGLES) % ANGLES


def piped(key: NoteKey, samples: int) -> Wave:
    """A key held down: (samples, 2)."""
    kind = organ_kind(key.instrument)
    step = frequency_hz(key.midi) / 2 / RATE_HZ
    angle = 2 * pi * key.variant / ANGLES
    out = np.zeros((samples, 2))
    for treble, turns_hz, delay_ms, swell in (
        (False, kind.drum_hz, kind.drum_ms, kind.drum_swell),
        (True, kind.horn_hz, kind.horn_ms, kind.horn_swell),
    ):
        wave = _turn(kind, key, treble=treble)
        turn = 2 * pi * turns_hz / RATE_HZ
        reach = (delay_ms * RATE_HZ / 1000, swell)
        out += rotor(wave, step, turn, angle, reach, samples)
    rise = min(samples, int(kind.attack_s * RATE_HZ))
    out[:rise] *= (0.5 - 0.5 * np.cos(np.linspace(0, pi, rise)))[:, None]
    click = _click(kind, key, min(samples, int(CLICK_S * RATE_HZ)))
    out[: click.size] += click[:, None]
    return out


def _turn(kind: OrganKind, key: NoteKey, *, treble: bool) -> Wave:
    """One turn of the 16′ tone, of the partials that the horn, or else the drum, gets."""
    turn = np.linspace(0, 2 * pi, TABLE + 1)
    wave = np.zeros(TABLE + 1)
    for harmonic, pulled in zip(HARMONICS, kind.drawbars, strict=True):
        hz = harmonic * frequency_hz(key.midi) / 2
        if pulled and hz < TOP_HZ and (hz >= kind.split_hz) == treble:
            level = 10 ** (STEP_DB * (pulled - 8) / 20)
            wave += level * np.sin(harmonic * turn + pi * share(f"organ|{key.midi}|{harmonic}"))
    return wave


def _click(kind: OrganKind, key: NoteKey, samples: int) -> Wave:
    """Contacts close one after another: a short rustle."""
    count = min(samples, int(0.006 * RATE_HZ))
    out = np.zeros(samples)
    out[:count] = noise(key.text("click"), count) * np.hanning(count)
    return band_pass(out, 900.0, 4000.0, 2) * 10 ** (kind.click_db / 20)
