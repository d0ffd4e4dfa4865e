"""A line of one hole through the chamber model, and the judgement of how that went.

Conventions: controls once a millisecond, one more at the end; samples at 48 kHz, in the model's
units times the gain. A run that did not start, or lost its pitch, gives None: then the wavetable
plays.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter1d, minimum_filter1d

from reedwright.kernels import kernel
from reedwright.voice.chamber import STEPS, Line, run_hole
from reedwright.voice.kinds import Kind
from reedwright.voice.values import BLOCK

KICK = 0.97  # of its usual swing a tongued reed starts with; from memory, tuned by the attack
KICK_POWER = 0.5  # how that follows the pressure of a softer note (from memory)
SETTLED_MS = 80  # after the onset a note has found its pitch
SMOOTHED_MS = 20  # of the swing that is judged
SOUNDING = 0.6  # of the greatest pressure: below it nothing is judged
WRONG_CENTS = 25.0  # another note, not a wide vibrato
LAG_MS = 61  # behind a glide the mouth may be so far
WEAK = 0.3  # of the swing that the spectra lead to expect
MOST_WRONG = 0.15  # share of judged milliseconds


def modelled(
    kind: Kind, hertz: float, cents: Line, pressure: Line, gain: Line, expected: Line
) -> Line | None:
    """Samples of a line, or None. `expected`: RMS of the model's flow each millisecond."""
    controls = np.stack(
        [
            hertz * 2 ** (cents / 1200),
            np.interp(cents, kind.cents, kind.mouth),
            np.interp(cents, kind.cents, kind.slope),
            pressure,
        ]
    )
    flow = np.empty((len(cents) - 1) * STEPS)
    tuned_hz = hertz * 2 ** (kind.tuning_cents / 1200)
    heard = run_hole(kind.hole, _start(kind, cents, pressure), tuned_hz, controls, flow)
    if not _went_well(heard, flow, controls, expected):
        return None
    out = np.empty((len(cents) - 1) * BLOCK)
    _halve(flow, _TAPS, gain, out)
    return out


def _start(kind: Kind, cents: Line, pressure: Line) -> Line:
    """Place and speed of the reeds as the tongue lets them go."""
    sounding = pressure[pressure > SOUNDING * pressure.max()]
    swing = KICK * min(1.0, float(np.median(sounding))) ** KICK_POWER
    places = [np.interp(cents[0], kind.cents, column) for column in kind.start.T]
    return np.asarray(np.array(places) * swing)


def _went_well(heard: Line, flow: Line, controls: Line, expected: Line) -> bool:
    pressure = controls[3, :-1]
    judged = pressure > SOUNDING * pressure.max()
    judged[: min(SETTLED_MS, len(judged) // 2)] = False
    if not judged.any():
        return True
    swing = np.sqrt((flow.reshape(-1, STEPS) ** 2).mean(1))
    width = min(SMOOTHED_MS, len(swing))
    swing = np.sqrt(np.convolve(swing**2, np.ones(width) / width, "same"))
    wrong = (
        _astray(np.maximum(heard, 1.0), controls[0, :-1])
        | (swing < WEAK * expected[:-1])
        | ~np.isfinite(swing)
    )
    return bool(wrong[judged].mean() <= MOST_WRONG)


def _astray(heard_hz: Line, wanted_hz: Line) -> NDArray[np.bool_]:
    """Where the pitch heard is none of those wanted now or a moment ago: glides lag a little."""
    low_hz = minimum_filter1d(wanted_hz, LAG_MS, origin=LAG_MS // 2, mode="nearest")
    high_hz = maximum_filter1d(wanted_hz, LAG_MS, origin=LAG_MS // 2, mode="nearest")
    near = 2 ** (WRONG_CENTS / 1200)
    return np.asarray((heard_hz < low_hz / near) | (heard_hz > high_hz * near))


def _half_band() -> Line:
    """Taps on one side of a half-band low-pass: 31 taps, Kaiser window, 70 dB (textbook design)."""
    order = np.arange(1, 16, 2)
    taps = np.sin(np.pi * order / 2) / (np.pi * order) * np.kaiser(33, 6.8)[16 + order]
    return np.asarray(taps * 0.25 / taps.sum())


_TAPS = _half_band()


@kernel(fast=True)
def _halve(flow: Line, taps: Line, gains: Line, out: Line) -> None:
    """Every other sample of the low-passed flow, times the gain."""
    last = len(flow)
    for block in range(len(gains) - 1):
        gain, step = gains[block], (gains[block + 1] - gains[block]) / BLOCK
        for index in range(block * BLOCK, (block + 1) * BLOCK):
            middle = 2 * index
            total = 0.5 * flow[middle]
            for tap in range(len(taps)):
                far = 2 * tap + 1
                if middle - far >= 0:
                    total += taps[tap] * flow[middle - far]
                if middle + far < last:
                    total += taps[tap] * flow[middle + far]
            out[index] = gain * total
            gain += step
