"""A segment as samples.

Conventions: float32, 48 kHz, at the lips: no hands, no room. A segment begins and ends at silence;
what it has is nothing but its own: the same segment gives the same samples. Errors: ValueError
where a number is not finite, naming this stage.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from reedwright.performance.playing import Curve
from reedwright.voice.air import air, unsteadiness
from reedwright.voice.body import corners_hz, through_body
from reedwright.voice.chamber import Line
from reedwright.voice.kinds import kind_of
from reedwright.voice.levels import pressures, wanted_rms
from reedwright.voice.model import modelled
from reedwright.voice.values import BLOCK, CONTROL_HZ, HoleLine, Segment
from reedwright.voice.wave import detune_cents, wave

Samples = NDArray[np.float32]

FADE_SAMPLES = 96  # 2 ms at both ends, so that nothing clicks


def render(segment: Segment) -> Samples:
    """The samples of a segment."""
    blocks = segment.blocks
    breath = over(segment.breath, blocks)
    reeds = np.zeros(blocks * BLOCK)
    for line in segment.lines:
        reeds += sound_of(line, segment)[0]
    sound = through_body(reeds, corners_hz(breath, segment.blocked))[: segment.samples]
    sound += air(segment, breath)
    return checked(_faded(sound), "voice")


def over(curve: Curve, blocks: int) -> Line:
    """A curve once a millisecond, one more at the end."""
    times_s = np.arange(blocks + 1) / CONTROL_HZ
    return np.interp(times_s, curve.times_s, curve.values)


def checked(sound: Line, stage: str) -> Samples:
    """The sound as float32. Errors: ValueError for a number that is not finite."""
    if not np.isfinite(sound).all():
        raise ValueError(f"Sound: the stage `{stage}` gave a number that is not finite.")
    return sound.astype(np.float32)


def sound_of(line: HoleLine, segment: Segment) -> tuple[Line, bool]:
    """A hole's share before the body, and whether the chamber model gave it."""
    kind, blocks = kind_of(line.hole), segment.blocks
    cents = over(line.cents, blocks)
    breath = over(line.breath, blocks) * unsteadiness(segment)
    hertz = line.hole.closing_hz
    pressure = np.minimum(pressures(breath), np.interp(cents, kind.cents, kind.most_pressure))
    places = kind.depth_places(cents), kind.pressure_places(pressure)
    unit = _at(kind.rms_at_lips(hertz, segment.blocked), places)
    gain = over(line.share, blocks) * wanted_rms(breath) / unit
    if line.modelled:
        expected = _at(kind.rms, places)
        sound = modelled(kind, hertz, cents, pressure, gain, expected)
        if sound is not None:
            return sound, True
    strayed = cents + (detune_cents(line.hole, blocks) if line.loose else 0.0)
    return wave(line.hole, kind, hertz * 2 ** (strayed / 1200), places, gain), False


def _at(table: Line, places: tuple[Line, Line]) -> Line:
    """A table of depth and pressure, read between its numbers."""
    values = []
    for place, size in zip(places, table.shape, strict=True):
        left = np.minimum(place.astype(int), max(0, size - 2))
        values.append((left, np.minimum(left + 1, size - 1), place - left))
    (d0, d1, part_d), (p0, p1, part_p) = values
    low = table[d0, p0] * (1 - part_p) + table[d0, p1] * part_p
    high = table[d1, p0] * (1 - part_p) + table[d1, p1] * part_p
    return np.asarray(low * (1 - part_d) + high * part_d)


def _faded(sound: Line) -> Line:
    size = min(FADE_SAMPLES, len(sound) // 2)
    ramp = 0.5 - 0.5 * np.cos(np.pi * np.arange(size) / max(1, size))
    sound[:size] *= ramp
    sound[len(sound) - size :] *= ramp[::-1]
    return sound
