"""A piano-like voice: stiff strings struck by a felt hammer, as a sum of decaying modes.

Conventions: partial n of a stiff string lies at n·f·√(1 + B·n²) (Fletcher, JASA 36(1), 1964); the
octaves are not stretched for it, so the first partial is exact. A hammer at a share h of the string
gives partial n the weight sin(πhn)/n and, the harder the brighter, a low-pass. Each note has two
strings a little apart, one of which fades sooner: the two-stage decay of a piano (Weinreich, JASA
62(6), 1977).
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache
from math import pi, sin, sqrt

import numpy as np

from reedwright.band.instruments.filters import band_pass, high_pass, low_pass, resonances
from reedwright.band.instruments.kernels import modes
from reedwright.band.instruments.seeds import Wave, generator, noise, share
from reedwright.band.instruments.values import RATE_HZ, NoteKey, frequency_hz, kind_of

MOST_PARTIALS = 40
"""Partials above these are lost under the others (from memory)."""

HIGHEST_HZ = 12_000.0
"""No partial above this is made."""

FELT_S = 0.003
"""The hammer's felt lies on the string about this long (from memory: 1 to 4 ms)."""

_STILL = np.zeros(0)


@dataclass(frozen=True, slots=True)
class PianoKind:
    """A piano in the words of data/instruments.toml."""

    sustain_s: float
    sustain_hz: float
    sustain_power: float
    high_s_hz: float
    early_share: float
    early_speed: float
    detune_cents: float
    stiffness: float
    stiffness_power: float
    hammer: float
    soft_hz: float
    hard_hz: float
    thump_db: float
    body: tuple[tuple[float, float, float], ...]


@cache
def piano_kind(name: str) -> PianoKind:
    return kind_of(PianoKind, "piano", name, (field.name for field in fields(PianoKind)))


def struck_strings(key: NoteKey, samples: int) -> Wave:
    """A key struck and held."""
    kind = piano_kind(key.instrument)
    hz = frequency_hz(key.midi)
    rows = [
        row
        for n in range(1, MOST_PARTIALS + 1)
        if (partial_hz := _partial_hz(kind, hz, n)) < HIGHEST_HZ
        for row in _pair(kind, key, n, partial_hz)
    ]
    radians, decays, level = (np.array(column) for column in zip(*rows, strict=True))
    # Each partial begins where it likes, or the peaks of a chord would pile up.
    turned = generator(f"piano|{key.midi}").uniform(0, 2 * pi, level.size // 2).repeat(2)
    real, imaginary = level * np.cos(turned), level * np.sin(turned)
    wave = modes(radians, decays, real, imaginary, _STILL, samples)
    rise = min(samples, int(FELT_S * RATE_HZ))
    wave[:rise] *= np.sin(np.linspace(0, pi / 2, rise)) ** 2
    bright_hz = kind.soft_hz * (kind.hard_hz / kind.soft_hz) ** key.velocity + 2 * hz
    wave = low_pass(wave, bright_hz, 1)
    return resonances(high_pass(wave + _thump(kind, key, wave), 30.0), kind.body)


def _partial_hz(kind: PianoKind, hz: float, n: int) -> float:
    """The first partial is exact, the others are stretched."""
    stiff = kind.stiffness * (hz / kind.sustain_hz) ** kind.stiffness_power
    return n * hz * sqrt((1 + stiff * n * n) / (1 + stiff))


def _pair(kind: PianoKind, key: NoteKey, n: int, hz: float) -> list[tuple[float, float, float]]:
    """Two strings of a partial: radians a sample, decay a sample, level."""
    first_hz = frequency_hz(key.midi)
    sustain_s = kind.sustain_s * (kind.sustain_hz / first_hz) ** kind.sustain_power
    sustain_s /= 1 + hz / kind.high_s_hz
    hammer = kind.hammer * (1 + 0.04 * share(key.text("hammer")))
    level = abs(sin(pi * hammer * n)) / n + 0.02 / n  # felt is broad: no partial is quite lost
    level *= 10 ** (1.5 * share(key.text("partial", n)) / 20)
    apart = 2 ** (kind.detune_cents * (1 + 0.5 * share(f"piano|{key.midi}|{n}")) / 1200)
    turn = 2 * pi * hz / RATE_HZ
    slow, quick = (10 ** (-3 / (s * RATE_HZ)) for s in (sustain_s, sustain_s / kind.early_speed))
    return [
        (turn, slow, level * (1 - kind.early_share)),
        (turn * apart, quick, level * kind.early_share),
    ]


def _thump(kind: PianoKind, key: NoteKey, wave: Wave) -> Wave:
    """The hammer and the key bed are heard for a moment."""
    count = min(wave.size, int(0.06 * RATE_HZ))
    out = np.zeros(wave.size)
    fall = np.exp(-np.arange(count) / (0.012 * RATE_HZ))
    out[:count] = noise(key.text("thump"), count) * fall
    out = band_pass(out, 70.0, 380.0 + 500.0 * key.velocity)
    loudest = float(np.abs(wave[: 4 * count]).max())
    return out * (loudest * 10 ** (kind.thump_db / 20) / max(1e-9, float(np.abs(out).max())))
