"""Loudness and true peak as broadcasters measure them.

Conventions: float32 or float64 at 48 kHz, (samples,) or (samples, 2); integrated loudness in LUFS
(minus infinity for silence), true peak in dBTP. A single channel counts once: 997 Hz at full scale
reads -3.01 LUFS. Sound shorter than one block (0.4 s) is measured as if silence followed it.
Source: Recommendation ITU-R BS.1770 (K-weighting at 48 kHz, blocks of 400 ms with 75 % overlap,
gates at -70 LUFS and -10 LU; true peak from at least four times oversampling, here eight).
"""

from __future__ import annotations

from functools import cache
from math import inf, log10
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.signal import sosfilt

from reedwright.sound.loudkernels import true_peak_of
from reedwright.sound.signal import as_columns, decibels, finite

Floats = NDArray[np.float64]

_SHELF, _SHELF_BACK = (
    (1.53512485958697, -2.69169618940638, 1.19839281085285),
    (-1.69065929318241, 0.73248077421585),
)
_HIGH_PASS, _HIGH_PASS_BACK = (1.0, -2.0, 1.0), (-1.99004745483398, 0.99007225036621)
K_WEIGHTING = np.array([[*_SHELF, 1.0, *_SHELF_BACK], [*_HIGH_PASS, 1.0, *_HIGH_PASS_BACK]])
"""BS.1770, tables 1 and 2."""

OFFSET_LU = -0.691
STEP = 4_800
"""Samples from one block to the next: a quarter of 400 ms."""

STEPS_IN_BLOCK = 4
ABSOLUTE_GATE_LUFS, RELATIVE_GATE_LU = -70.0, -10.0
_SPAN = 100 * STEP  # filtered at a time, so that memory does not grow with length

PHASES, WIDTH = 8, 24
"""Oversampling of the true peak, and taps of each phase: a tone at 20 kHz reads within 0.1 dB."""

_KAISER_BETA = 7.0  # about 70 dB of stop band (common practice)


def integrated_lufs(samples: NDArray[Any]) -> float:
    """Integrated loudness with both gates. Errors: SoundError."""
    return gated_lufs(block_energies(samples))


def gated_lufs(energies: Floats) -> float:
    """The loudness of blocks given by their mean square, gated."""
    heard = energies[energies > _energy(ABSOLUTE_GATE_LUFS)]
    if not len(heard):
        return -inf
    gate = float(np.mean(heard)) * 10 ** (RELATIVE_GATE_LU / 10)
    return _lufs(float(np.mean(heard[heard > gate])))


def block_energies(samples: NDArray[Any]) -> Floats:
    """K-weighted mean square of every block, summed over channels."""
    columns = as_columns(finite(samples, "loudness"))
    steps = np.zeros(max(STEPS_IN_BLOCK, len(columns) // STEP))
    for channel in range(columns.shape[1]):
        _add_steps(columns[:, channel], steps)
    sums = np.concatenate(([0.0], np.cumsum(steps)))
    blocks = (sums[STEPS_IN_BLOCK:] - sums[:-STEPS_IN_BLOCK]) / STEPS_IN_BLOCK
    return np.asarray(np.maximum(0.0, blocks))


def _add_steps(channel: NDArray[Any], steps: Floats) -> None:
    """Mean squares of one channel's steps, added to those of the others."""
    state = np.zeros((2, 2))
    for start in range(0, len(channel), _SPAN):
        weighted, state = sosfilt(K_WEIGHTING, channel[start : start + _SPAN], zi=state)
        whole = len(weighted) // STEP
        first = start // STEP
        powers = np.einsum("ij,ij->i", *[weighted[: whole * STEP].reshape(whole, STEP)] * 2)
        if first < len(steps):
            steps[first : first + whole] += powers / STEP
        if len(channel) < STEPS_IN_BLOCK * STEP and whole < len(steps):
            rest = weighted[whole * STEP :]
            steps[whole] += float(rest @ rest) / STEP


def true_peak_dbtp(samples: NDArray[Any]) -> float:
    """The highest level between the samples too. Errors: SoundError."""
    columns = np.ascontiguousarray(as_columns(finite(samples, "true peak")), np.float32)
    return decibels(float(true_peak_of(columns, taps()))) if len(columns) else -inf


@cache
def taps() -> NDArray[np.float32]:
    """(PHASES, WIDTH): the samples between two samples, by a windowed sinc.

    Phase 0 is the sample itself, which stands at tap WIDTH / 2 - 1.
    """
    middle = WIDTH // 2 - 1
    places = np.arange(WIDTH)[None, :] - middle - np.arange(PHASES)[:, None] / PHASES
    inside = np.maximum(0.0, 1 - (places / (WIDTH / 2)) ** 2)
    rows = np.sinc(places) * np.i0(_KAISER_BETA * np.sqrt(inside)) / np.i0(_KAISER_BETA)
    return np.ascontiguousarray(rows / rows.sum(1, keepdims=True), np.float32)


def _lufs(energy: float) -> float:
    return OFFSET_LU + 10 * log10(energy) if energy > 0 else -inf


def _energy(lufs: float) -> float:
    return float(10 ** ((lufs - OFFSET_LU) / 10))
