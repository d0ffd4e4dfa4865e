"""The number loop of the hands round an acoustic harp: a filter whose corner moves with them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from reedwright.kernels import kernel

Floats = NDArray[np.float64]
Sound = NDArray[np.float32]


FALL_DAMPING = 1.4142135623730951
"""Of a low-pass without a rise of its own (Butterworth)."""


@kernel(fast=True)
def moving_filter(sound: Sound, openness: Sound, table: Floats, pole: float) -> Sound:
    """A resonance and, behind it, a fall of treble, both set by how open the hands are.

    Two state-variable filters of the trapezoidal rule, which stay stable however they move.
    `table`, shape (4, steps + 1), holds on an even grid of openness tan(pi · f / rate) of the
    resonance and of the fall, and the resonance's damping and lift (gain of its peak, less 1, times
    the damping); `pole` smooths the openness, so that a jump makes no click.
    """
    out = np.empty_like(sound)
    steps = table.shape[1] - 1
    held = np.float64(openness[0]) if len(sound) else 0.0
    ring_1, ring_2, fall_1, fall_2 = 0.0, 0.0, 0.0, 0.0
    for n in range(len(sound)):
        held += pole * (openness[n] - held)
        at = min(max(held, 0.0), 1.0) * steps
        low = min(int(at), steps - 1)
        part = at - low
        ring = table[0, low] + part * (table[0, low + 1] - table[0, low])
        fall = table[1, low] + part * (table[1, low + 1] - table[1, low])
        damping = table[2, low] + part * (table[2, low + 1] - table[2, low])
        lift = table[3, low] + part * (table[3, low + 1] - table[3, low])
        band = (ring_1 + ring * (sound[n] - ring_2)) / (1 + ring * (ring + damping))
        passed = ring_2 + ring * band
        ring_1, ring_2 = 2 * band - ring_1, 2 * passed - ring_2
        rung = sound[n] + lift * band
        band = (fall_1 + fall * (rung - fall_2)) / (1 + fall * (fall + FALL_DAMPING))
        passed = fall_2 + fall * band
        fall_1, fall_2 = 2 * band - fall_1, 2 * passed - fall_2
        out[n] = passed
    return out
