"""Drums, cymbals and shaken things: partials, a cloud of modes and bursts of noise.

Conventions: a piece of the kit is the sum of three things, each of which it may lack. Partials are
modes one can count (a skin, a block, a bell). A cloud is so many modes that one cannot (a cymbal:
spread evenly over a band, since a plate has as many modes in every hertz). A burst is filtered
noise that rises and falls (snare wires, beads, breath of a stick). Pieces answer to General MIDI's
percussion keys. Everything is brighter the harder it is struck.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from math import pi
from typing import Any

import numpy as np

from reedwright.band.instruments.filters import band_pass, high_pass, low_pass
from reedwright.band.instruments.kernels import modes
from reedwright.band.instruments.seeds import Wave, generator, noise, share
from reedwright.band.instruments.values import RATE_HZ, NoteKey, table

STROKE_S = 0.0004
"""A stick or hand stays on the skin about this long (from memory)."""

_STILL = np.zeros(0)


@dataclass(frozen=True, slots=True)
class Partial:
    hz: float
    level_db: float
    decay_s: float


@dataclass(frozen=True, slots=True)
class Cloud:
    """`tilt_db` an octave above low_hz; `bloom_s`: how long the top takes to come up."""

    count: int
    low_hz: float
    high_hz: float
    level_db: float
    tilt_db: float
    low_s: float
    high_s: float
    bloom_s: float


@dataclass(frozen=True, slots=True)
class Burst:
    """`delay_s` after the stroke it rises for `attack_s` and falls by 60 dB in `decay_s`."""

    low_hz: float
    high_hz: float
    level_db: float
    delay_s: float
    attack_s: float
    decay_s: float


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of the kit in the words of data/instruments.toml.

    `keys`: General MIDI percussion keys and by how much each is tuned up; `choke`: the group in
    which a stroke silences what still rings; `squash`: how far peaks are rounded off; `pan` −1 … 1.
    """

    name: str
    keys: Mapping[int, float]
    level_db: float
    ring_s: float
    pan: float = 0.0
    soft_hz: float = 4000.0
    hard_hz: float = 20_000.0
    choke: str = ""
    squash: float = 0.0
    glide: tuple[float, float] = (1.0, 0.0)
    partials: tuple[Partial, ...] = ()
    cloud: Cloud | None = None
    bursts: tuple[Burst, ...] = ()


@cache
def pieces() -> Mapping[int, Piece]:
    """The piece that answers to each key."""
    made = [_piece(name, dict(values)) for name, values in table()["drum"].items()]
    return {key: piece for piece in made for key in piece.keys}


def _piece(name: str, values: dict[str, Any]) -> Piece:
    values["keys"] = {int(key): float(up) for key, up in values["keys"].items()}
    values["glide"] = tuple(values.get("glide", (1.0, 0.0)))
    values["partials"] = tuple(Partial(*row) for row in values.get("partials", ()))
    values["bursts"] = tuple(Burst(*row) for row in values.get("bursts", ()))
    if "cloud" in values:
        names = {field.name for field in fields(Cloud)}
        values["cloud"] = Cloud(**{word: values["cloud"][word] for word in names})
    return Piece(name=name, **values)


def struck(key: NoteKey, samples: int) -> Wave:
    """A piece struck once and left to ring."""
    piece = pieces()[key.midi]
    up = piece.keys[key.midi] * (1 + 0.003 * share(key.text("tension")))
    wave = np.zeros(samples)
    if piece.partials:
        wave += _partials(piece, key, up, samples)
    if piece.cloud:
        wave += _cloud(piece.cloud, key, up, samples)
    for number, burst in enumerate(piece.bursts):
        wave += _burst(burst, key.text("burst", number), samples)
    if piece.squash:
        wave = _squashed(wave, piece.squash)
    bright_hz = piece.soft_hz * (piece.hard_hz / piece.soft_hz) ** key.velocity
    return high_pass(low_pass(wave, bright_hz, 1), 25.0)


def _squashed(wave: Wave, squash: float) -> Wave:
    """Peaks rounded off, as tape or a close microphone does: more body under the same peak."""
    top = float(np.abs(wave).max()) / squash
    made: Wave = top * np.tanh(wave / max(top, 1e-9))
    return made


def _partials(piece: Piece, key: NoteKey, up: float, samples: int) -> Wave:
    rows = piece.partials
    turn = np.array([2 * pi * row.hz * up / RATE_HZ for row in rows])
    fall = np.array([10 ** (-3 / (row.decay_s * RATE_HZ)) for row in rows])
    level = np.array(
        [
            10 ** ((row.level_db + 1.5 * share(key.text("partial", number))) / 20)
            for number, row in enumerate(rows)
        ]
    )
    # The first partial starts from rest; the others anywhere, or their peaks would pile up.
    phase = generator(key.text("phase")).uniform(0, 2 * pi, len(rows))
    phase[0] = 0.0
    real, imaginary = level * np.cos(phase), level * np.sin(phase)
    wave = modes(turn, fall, real, imaginary, _glide(piece, key, samples), samples)
    rise = min(samples, int(STROKE_S * RATE_HZ))
    wave[:rise] *= np.linspace(0, 1, rise, endpoint=False)
    return wave


def _glide(piece: Piece, key: NoteKey, samples: int) -> Wave:
    """A skin struck hard is tighter for a moment: its pitch starts higher and falls."""
    high, fall_s = piece.glide
    if high == 1.0:
        return _STILL
    moments = np.arange(min(samples, int(6 * fall_s * RATE_HZ))) / RATE_HZ
    made: Wave = 1 + (high - 1) * (0.6 + 0.4 * key.velocity) * np.exp(-moments / fall_s)
    return made


def _cloud(cloud: Cloud, key: NoteKey, up: float, samples: int) -> Wave:
    """A cymbal: its modes are its own, where it is hit changes how much of each one hears."""
    own = generator(f"cymbal|{cloud.count}|{cloud.low_hz}|{cloud.high_hz}")
    hz = np.sort(own.uniform(cloud.low_hz, cloud.high_hz, cloud.count)) * up
    hit = generator(key.text("cloud"))
    octaves = np.log2(hz / hz[0])
    level = hit.rayleigh(1.0, cloud.count) * 10 ** (cloud.tilt_db * octaves / 20)
    phase = hit.uniform(0, 2 * pi, cloud.count)
    decay_s = cloud.low_s * (cloud.high_s / cloud.low_s) ** (octaves / octaves[-1])
    turn = 2 * pi * hz / RATE_HZ
    fall = 10 ** (-3 / (decay_s * RATE_HZ))
    rise_s = np.maximum(0.002, cloud.bloom_s * octaves / octaves[-1])
    sooner = fall * np.exp(-1 / (rise_s * RATE_HZ))
    level *= 10 ** (cloud.level_db / 20) / np.sqrt(cloud.count)
    real, imaginary = level * np.cos(phase), level * np.sin(phase)
    return modes(
        np.concatenate([turn, turn]),
        np.concatenate([fall, sooner]),
        np.concatenate([real, -real]),
        np.concatenate([imaginary, -imaginary]),
        _STILL,
        samples,
    )


def _burst(burst: Burst, key: str, samples: int) -> Wave:
    first = int(burst.delay_s * RATE_HZ)
    out = np.zeros(samples)
    count = min(samples - first, int((burst.attack_s + 1.2 * burst.decay_s) * RATE_HZ) + 1)
    if count <= 0:
        return out
    moments = np.arange(count) / RATE_HZ
    rise = np.minimum(1.0, moments / max(burst.attack_s, 0.0002))
    after = np.maximum(0.0, moments - burst.attack_s)
    shape = np.sin(rise * pi / 2) ** 2 * np.exp(-6.9078 * after / burst.decay_s)
    rough = band_pass(noise(key, count + 512), burst.low_hz, burst.high_hz, 2)[512:]
    out[first : first + count] = rough * shape
    loudest = float(np.sqrt(np.mean(rough * rough)))
    return out * (10 ** (burst.level_db / 20) / max(1e-9, loudest))
