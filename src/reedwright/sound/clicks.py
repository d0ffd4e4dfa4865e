"""The sounds of clicks, and a track of them.

Conventions: mono float32 at 48 kHz, full scale 1; a click's first sample stands at the sample
nearest to its exact time. The bar, the beat and the pickup are short knocks that differ in pitch.
The opening sound is a falling chirp that nothing else in a recording resembles, exactly

    x(n) = OPENING_PEAK · w(n) · sin(2π (f0 t + (f1 − f0) t² / (2 T))),  t = n / 48000

for n = 0 … T · 48000 − 1 with f0 = 7000 Hz, f1 = 700 Hz, T = 0.06 s and w(n) a window that rises
over the first and falls over the last tenth as a half period of a raised cosine. It sweeps 6300 Hz
in 60 ms, so its autocorrelation is a spike about 0.2 ms wide, by which a recording of it is found.
All figures are our own design, from memory.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

import numpy as np

from reedwright.performance.playing import Click, ClickKind
from reedwright.sound.signal import RATE_HZ, Samples, samples_at

RECIPE = 1
"""Goes up when the clicks sound different."""

OPENING_FROM_HZ, OPENING_TO_HZ, OPENING_S, OPENING_PEAK = 7_000.0, 700.0, 0.06, 0.25
OPENING_EDGE = 0.1

KNOCKS = {
    ClickKind.BAR: (1_760.0, 0.20),
    ClickKind.BEAT: (1_175.0, 0.16),
    ClickKind.PICKUP: (2_350.0, 0.16),
}
"""Hertz and peak; a fifth and an octave apart, so that nobody mixes them up."""

KNOCK_S, RISE_S, FALL_S = 0.05, 0.001, 0.018
"""Length, and time constants of its start and end: short enough for 400 beats a minute."""

DRIVE = 3.0
"""Squares the knock a little: a louder click for the same peak."""


@cache
def click_sound(kind: ClickKind) -> Samples:
    """The samples of one click."""
    return _opening() if kind is ClickKind.OPENING else _knock(*KNOCKS[kind])


def click_line(clicks: Iterable[Click], samples: int) -> Samples:
    """Clicks at their exact times; what would pass the end is cut."""
    line = np.zeros(samples, np.float32)
    for click in clicks:
        start, sound = samples_at(click.score_s), click_sound(click.kind)
        room = max(0, min(len(sound), samples - start))
        line[start : start + room] += sound[:room]
    return line


def _opening() -> Samples:
    size = round(OPENING_S * RATE_HZ)
    time_s = np.arange(size) / RATE_HZ
    slope = (OPENING_TO_HZ - OPENING_FROM_HZ) / (2 * OPENING_S)
    sweep = np.sin(2 * np.pi * (OPENING_FROM_HZ * time_s + slope * time_s**2))
    edge = round(OPENING_EDGE * size)
    window = np.ones(size)
    window[:edge] = 0.5 - 0.5 * np.cos(np.pi * np.arange(edge) / edge)
    window[size - edge :] = window[:edge][::-1]
    return np.asarray(OPENING_PEAK * window * sweep, np.float32)


def _knock(hertz: float, peak: float) -> Samples:
    size = round(KNOCK_S * RATE_HZ)
    time_s = np.arange(size) / RATE_HZ
    body = np.sin(2 * np.pi * hertz * time_s) + 0.4 * np.sin(2 * np.pi * 2.76 * hertz * time_s)
    falling = np.exp(-time_s / FALL_S) * (1 - np.exp(-time_s / RISE_S))
    fade = np.clip((KNOCK_S - time_s) / 0.005, 0.0, 1.0)
    shaped = np.tanh(DRIVE * body * falling) * fade
    return np.asarray(peak * shaped / np.abs(shaped).max(), np.float32)
