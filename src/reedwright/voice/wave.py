"""The stand-in: one period of each hole, read out at any speed, without a partial too many.

Conventions: 48 kHz; tables hold one period for each depth and pressure of a kind of hole, in the
model's units; both are moved through by places with parts (see `kinds`). A table keeps the
partials that stay below `HIGHEST_HZ` at the highest pitch it is asked for.
"""

from __future__ import annotations

import hashlib
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from reedwright.kernels import kernel
from reedwright.voice.chamber import Line
from reedwright.voice.kinds import Kind, kinds
from reedwright.voice.values import BLOCK, CONTROL_HZ, SAMPLE_HZ, Hole

Tables = NDArray[np.float32]

PERIOD = 2_048  # numbers in a table
HIGHEST_HZ = 20_000.0
OWN_CENTS = 2.0  # a reed beside others is so far out of tune at most (from memory)
WANDER_CENTS = 1.0  # and wanders so far (from memory)
WANDER_HZ = (0.23, 0.61)  # so fast (from memory)


def wave(hole: Hole, kind: Kind, hertz: Line, places: tuple[Line, Line], gain: Line) -> Line:
    """Samples of a hole; all controls once a millisecond, one more at the end.

    `places`: of depth and of pressure in the kind's lists.
    """
    partials = max(1, int(HIGHEST_HZ / float(hertz.max())))
    tables = _tables(hole.interval, hole.over, min(partials, kind.waves.shape[2]))
    out = np.empty((len(hertz) - 1) * BLOCK)
    _read(tables, hertz / SAMPLE_HZ, places[0], places[1], gain, out)
    return out


def detune_cents(hole: Hole, blocks: int) -> Line:
    """How far a reed that sounds beside others strays, each millisecond."""
    numbers = np.frombuffer(hashlib.sha256(repr(hole).encode()).digest(), dtype=np.uint32) / 2**32
    time_s = np.arange(blocks + 1) / CONTROL_HZ
    own = OWN_CENTS * (2 * numbers[0] - 1)
    slow, fast = (
        np.sin(2 * np.pi * (hertz * time_s + phase))
        for hertz, phase in zip(WANDER_HZ, numbers[1:3], strict=True)
    )
    return np.asarray(own + WANDER_CENTS * (0.7 * slow + 0.3 * fast))


@lru_cache(256)
def _tables(interval: int, over: bool, partials: int) -> Tables:
    """Depth, pressure, period; the first number again at the end."""
    waves = kinds()[interval, over].waves
    spectra = np.zeros((*waves.shape[:2], PERIOD // 2 + 1), dtype=np.complex128)
    spectra[:, :, 1 : partials + 1] = waves[:, :, :partials] * (PERIOD / 2)
    periods = np.fft.irfft(spectra, axis=2)
    return np.concatenate([periods, periods[:, :, :1]], axis=2).astype(np.float32)


@kernel(fast=True)
def _read(
    tables: Tables, turns: Line, depths: Line, pressures: Line, gains: Line, out: Line
) -> None:
    """Between two neighbours in depth and in pressure, straight between their numbers."""
    phase = 0.0
    last_d, last_p = tables.shape[0] - 1, tables.shape[1] - 1
    for block in range(len(turns) - 1):
        turn, turn_step = turns[block], (turns[block + 1] - turns[block]) / BLOCK
        gain, gain_step = gains[block], (gains[block + 1] - gains[block]) / BLOCK
        middle_d = 0.5 * (depths[block] + depths[block + 1])
        middle_p = 0.5 * (pressures[block] + pressures[block + 1])
        d0, p0 = int(middle_d), int(middle_p)
        d1, p1 = min(d0 + 1, last_d), min(p0 + 1, last_p)
        part_d, part_p = depths[block] - d0, pressures[block] - p0
        step_d = (depths[block + 1] - depths[block]) / BLOCK
        step_p = (pressures[block + 1] - pressures[block]) / BLOCK
        for index in range(block * BLOCK, (block + 1) * BLOCK):
            place = phase * PERIOD
            left = int(place)
            part = place - left
            low = (1 - part_p) * _at(tables, d0, p0, left, part)
            low += part_p * _at(tables, d0, p1, left, part)
            high = (1 - part_p) * _at(tables, d1, p0, left, part)
            high += part_p * _at(tables, d1, p1, left, part)
            out[index] = gain * ((1 - part_d) * low + part_d * high)
            phase += turn
            phase -= int(phase)
            turn += turn_step
            gain += gain_step
            part_d += step_d
            part_p += step_p


@kernel(fast=True)
def _at(tables: Tables, depth: int, pressure: int, left: int, part: float) -> float:
    here = tables[depth, pressure, left]
    return float(here + part * (tables[depth, pressure, left + 1] - here))
