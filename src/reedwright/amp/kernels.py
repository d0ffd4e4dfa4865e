"""The number loops of the amplifier.

Conventions: float64 inside; `phases` has shape (FACTOR, samples): row p holds the oversampled
values number FACTOR · n + p, so that a loop along a row runs over plain neighbours. States are
changed in place and carry a stage over the border of two blocks.

`shape` is x / sqrt(1 + x²), averaged exactly over the straight line from one value to the next
(antiderivative antialiasing of first order: Parker, Zavalishin & Le Bivic, DAFx 2016, from
memory).
The antiderivative is S = sqrt(1 + x²), and (S1 - S0) / (x1 - x0) = (x1 + x0) / (S1 + S0): there is
nothing to divide by zero.
"""

from __future__ import annotations

from math import cos, sin, sqrt

import numpy as np

from reedwright.amp.finite import Floats, Sound
from reedwright.kernels import kernel

MOST = 4.0
"""The largest sample taken in: four times full scale, so that a loud peak is not cut here, where a
cut would make aliases (a design figure)."""


@kernel(fast=True)
def hands(
    samples: Sound, openness: Sound, cut: Floats, gain: Floats, pole: float, state: Floats
) -> Floats:
    """Hands that move: a gain and two low-pass poles. What goes beyond open or closed, or
    far beyond full scale, is held there.

    `cut` and `gain` hold the poles' coefficient and the gain on an even grid of openness from 0 to
    1; `pole` smooths the openness itself, so that a jump of the hands makes no click.
    """
    out = np.empty(len(samples))
    steps = len(cut) - 1
    held, first, second = state[0], state[1], state[2]
    for n in range(len(samples)):
        held += pole * (min(max(openness[n], 0.0), 1.0) - held)
        at = held * steps
        low = min(int(at), steps - 1)
        part = at - low
        a = cut[low] + part * (cut[low + 1] - cut[low])
        x = min(max(samples[n], -MOST), MOST)
        first += a * (x * (gain[low] + part * (gain[low + 1] - gain[low])) - first)
        second += a * (first - second)
        out[n] = second
    state[0], state[1], state[2] = held, first, second
    return out


@kernel(fast=True)
def cascade(samples: Floats, sections: Floats, state: Floats) -> Floats:
    """Second-order sections one after another (transposed direct form II), as scipy's `sosfilt`
    does it, without its cost for each block."""
    out = np.empty_like(samples)
    for n in range(len(samples)):
        x = samples[n]
        for s in range(len(sections)):
            y = sections[s, 0] * x + state[s, 0]
            state[s, 0] = sections[s, 1] * x - sections[s, 4] * y + state[s, 1]
            state[s, 1] = sections[s, 2] * x - sections[s, 5] * y
            x = y
        out[n] = x
    return out


@kernel(fast=True)
def _add_filtered(out: Floats, line: Floats, taps: Floats, late: int) -> None:
    """Add `line` through `taps` to `out`; the end of `line`, less `late`, stands under its end.
    Four taps a pass, so that `out` is fetched and stored less often."""
    size = len(out)
    end = len(line) - late
    for k in range(0, len(taps), 4):
        t0, t1, t2, t3 = taps[k], taps[k + 1], taps[k + 2], taps[k + 3]
        at = end - k - size
        x0, x1, x2, x3 = line[at:], line[at - 1 :], line[at - 2 :], line[at - 3 :]
        for n in range(size):
            out[n] += t0 * x0[n] + t1 * x1[n] + t2 * x2[n] + t3 * x3[n]


@kernel(fast=True)
def upsample(samples: Floats, taps: Floats, past: Floats) -> Floats:
    """To FACTOR times the rate; `taps` has shape (FACTOR, taps of a phase, a multiple of four)."""
    factor, count = taps.shape
    size = len(samples)
    line = np.empty(size + count)
    line[:count] = past
    line[count:] = samples
    phases = np.zeros((factor, size))
    for p in range(factor):
        _add_filtered(phases[p], line, taps[p] * factor, 0)
    past[:] = line[size:]
    return phases


@kernel(fast=True)
def downsample(phases: Floats, taps: Floats, past: Floats) -> Floats:
    """Back to the plain rate, with the same filter; `past` has shape (FACTOR, taps + 1)."""
    factor, count = taps.shape
    size = phases.shape[1]
    out = np.zeros(size)
    line = np.empty(size + count + 1)
    for p in range(factor):
        line[: count + 1] = past[p]
        line[count + 1 :] = phases[p]
        # row p lies FACTOR·k - p before the value in row 0: another row's taps, one sample late
        _add_filtered(out, line, taps[(factor - p) % factor], 0 if p == 0 else 1)
        past[p] = line[size:]
    return out


@kernel(fast=True)
def shape(phases: Floats, gain: float, drive: Floats, bias: float, state: Floats) -> None:
    """Amplify and round off, in place: the headroom is 1 / `drive` (one figure a plain sample).
    The slope at rest is the gain, and silence stays at 0."""
    factor, size = phases.shape
    rest = bias / sqrt(1 + bias * bias)
    slope = (1 + bias * bias) ** 1.5
    scale = slope / drive
    roots = np.empty((factor, size))
    for p in range(factor):
        for n in range(size):
            phases[p, n] = phases[p, n] * (gain * drive[n]) + bias
            roots[p, n] = sqrt(1 + phases[p, n] * phases[p, n])
    before = np.empty((2, size))  # the last row, one plain sample earlier, is what row 0 follows
    before[0, 0], before[1, 0] = state[0], state[1]
    before[0, 1:], before[1, 1:] = phases[factor - 1, : size - 1], roots[factor - 1, : size - 1]
    state[0], state[1] = phases[factor - 1, size - 1], roots[factor - 1, size - 1]
    for p in range(factor - 1, 0, -1):
        for n in range(size):
            mean = (phases[p, n] + phases[p - 1, n]) / (roots[p, n] + roots[p - 1, n])
            phases[p, n] = (mean - rest) * scale[n]
    for n in range(size):
        mean = (phases[0, n] + before[0, n]) / (roots[0, n] + before[1, n])
        phases[0, n] = (mean - rest) * scale[n]


@kernel(fast=True)
def tone(phases: Floats, coefficients: Floats, state: Floats) -> None:
    """The coupling between the stages, in place: a high-pass pole that takes the standing voltage
    away, a low-pass pole for stray capacitance, and a shelf each for bass and treble
    (`coefficients`: high-pass pole, low-pass pole, bass pole, bass gain - 1, treble pole, treble
    gain - 1)."""
    factor, size = phases.shape
    high, stray, bass, bass_more, treble, treble_more = coefficients
    standing, passed, low, dull = state[0], state[1], state[2], state[3]
    for n in range(size):
        for p in range(factor):
            x = phases[p, n]
            standing += high * (x - standing)
            passed += stray * (x - standing - passed)
            x = passed
            low += bass * (x - low)
            dull += treble * (x - dull)
            phases[p, n] = x + bass_more * low + treble_more * (x - dull)
    state[0], state[1], state[2], state[3] = standing, passed, low, dull


@kernel(fast=True)
def swing(phases: Floats, depth: float, turn: float, state: Floats) -> None:
    """Tremolo, in place: the gain goes from 1 down by `depth` and back, `turn` radians a plain
    sample; `state` is a hand that goes round (cosine, sine)."""
    factor, size = phases.shape
    cos_turn, sin_turn = cos(turn), sin(turn)
    x, y = state[0], state[1]
    for n in range(size):
        gain = 1 - depth * (0.5 - 0.5 * x)
        for p in range(factor):
            phases[p, n] *= gain
        x, y = x * cos_turn - y * sin_turn, x * sin_turn + y * cos_turn
    length = sqrt(x * x + y * y)  # rounding must not let it grow or shrink
    state[0], state[1] = x / length, y / length


@kernel(fast=True)
def load(phases: Floats, volts: float, pole: float, state: Floats) -> Floats:
    """How hard the stage works, 0 to 1, one figure a plain sample, smoothed."""
    factor, size = phases.shape
    out = np.empty(size)
    held = state[0]
    for n in range(size):
        most = 0.0
        for p in range(factor):
            most = max(most, abs(phases[p, n]))
        held += pole * (min(1.0, most / volts) - held)
        out[n] = held
    state[0] = held
    return out
