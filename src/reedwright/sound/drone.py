"""A drone on the chord's root, to tune bends against.

Conventions: mono float32 at 48 kHz; chords and their lengths in seconds. A still tone with no
vibrato and no beating, so that every beat heard is the player's. It is tuned as the harp is: its
reference pitch, and its temperament's cents for the root, in the octave from C3 to B3 with the
octave below softer. One root goes into the next in a short crossfade, which takes no click along.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

import numpy as np
from numpy.typing import NDArray

from reedwright.harp.harp import Harp, reference_cents
from reedwright.harp.pitch import frequency_hz
from reedwright.sound.signal import RATE_HZ, Samples, samples_at
from reedwright.tune.tune import Tune

RECIPE = 1
"""Goes up when the drone sounds different."""

LOWEST_MIDI = 48
"""C3: an octave below the middle of most harps, where a small speaker still gives its partials."""

PARTIALS = (1.0, 0.6, 0.42, 0.3, 0.16, 0.12, 0.07, 0.06)
"""Of the upper octave; a soft reed organ (from memory)."""

LOW_SHARE = 0.5
"""Of the octave below."""

LEVEL = 0.08
"""Peak of the first partial: about as loud as a soft note of the harp."""

EDGE = 960
"""Samples, 20 ms: a change of root takes so long before and after its moment (common practice)."""

_TABLE = 65_536  # samples of one period, read to the nearest: noise below -90 dB


@dataclass(frozen=True, slots=True)
class Stretch:
    """One root for a while."""

    root: int
    start_s: float
    end_s: float


def root_hz(root: int, harp: Harp) -> float:
    """The pitch of a root (pitch class) in the drone's octave, tuned as the harp.

    The same note on the harp, octaves apart, beats with it no more than its own tuning does.
    """
    midi = LOWEST_MIDI + (root - LOWEST_MIDI) % 12
    cents = harp.temperament.cents[(root - harp.first_key) % 12] + reference_cents(harp.a4_hz)
    return frequency_hz(midi + cents / 100)


def stretches(tune: Tune, bars: Sequence[int], beat_s: float) -> tuple[Stretch, ...]:
    """The roots under bars of the form (from 1), one after the other from time 0; chords of the
    same root are one. A tune without a form stays on its key note."""
    found: list[Stretch] = []
    for index, bar in enumerate(bars):
        for root, start, length in _roots(tune, bar):
            start_s = float(index * tune.meter.beats + start) * beat_s
            end_s = start_s + float(length) * beat_s
            if found and found[-1].root == root:
                found[-1] = Stretch(root, found[-1].start_s, end_s)
            else:
                found.append(Stretch(root, start_s, end_s))
    return tuple(found)


def _roots(tune: Tune, bar: int) -> Iterator[tuple[int, Fraction, Fraction]]:
    spans = tune.form.spans(bar)
    if not spans:
        yield tune.key, Fraction(0), Fraction(tune.meter.beats)
    for span in spans:
        yield span.chord.root, span.start, span.length


def drone(stretches: Sequence[Stretch], harp: Harp) -> Samples:
    """The drone as sound. It begins EDGE samples before the first stretch and ends as many after
    the last, rising and falling."""
    last = samples_at(stretches[-1].end_s) if stretches else 0
    line = np.zeros(last + 2 * EDGE, np.float32)
    ramp = np.linspace(0, 1, 2 * EDGE, dtype=np.float32)
    for stretch in stretches:
        start, end = samples_at(stretch.start_s), samples_at(stretch.end_s) + 2 * EDGE
        sound = tone(root_hz(stretch.root, harp), end - start)
        edge = min(2 * EDGE, len(sound) // 2)
        sound[:edge] *= ramp[:edge] if edge == 2 * EDGE else np.linspace(0, 1, edge)
        sound[len(sound) - edge :] *= ramp[::-1][2 * EDGE - edge :]
        line[start:end] += sound
    return line


def tone(hertz: float, samples: int) -> Samples:
    """A steady tone of `hertz` with the octave below, from phase 0."""
    phase = (hertz / 2 * np.arange(samples) / RATE_HZ) % 1.0  # of the octave below
    return _period()[(phase * _TABLE).astype(np.int32) % _TABLE].copy()


@cache
def _period() -> NDArray[np.float32]:
    """One period of the octave below: its own partials softer, the octave's full."""
    phase = 2 * np.pi * np.arange(_TABLE) / _TABLE
    wave = np.zeros(_TABLE)
    for number, share in enumerate(PARTIALS, 1):
        wave += share * (np.sin(2 * number * phase) + LOW_SHARE * np.sin(number * phase))
    return (LEVEL * wave).astype(np.float32)
