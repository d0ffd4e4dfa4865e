"""The band played: the parts of an arrangement as sound.

Conventions: float32 (samples, 2) at 48 kHz, from the first sample of the count-in, in which the
band is silent. Each part is rendered by itself at its level in the mix, so that the mix is their
sum. A span of samples sounds exactly as in the whole, tails of what began before it included: the
sound of one bar is asked for by its span. Notes are added in order of the arrangement, each from
the store of notes made (`instruments.note`).
"""

from __future__ import annotations

from functools import cache
from math import ceil

import numpy as np
from numpy.typing import NDArray

from reedwright.band.instruments.drums import pieces
from reedwright.band.instruments.kernels import add_note, add_release
from reedwright.band.instruments.note import NOTES, Notes, place_of
from reedwright.band.instruments.room import TAIL_S
from reedwright.band.instruments.values import RATE_HZ, RINGS_OUT
from reedwright.band.strokes import Stroke, strokes
from reedwright.band.values import Arrangement, Part
from reedwright.errors import ReedwrightError
from reedwright.performance.values import Performance

Samples = NDArray[np.float32]

LINGERS_S = 0.28
"""The room after a note that is let go: its tail once the early reflections are gone."""

RING_S = 2.5
"""After the last bar a crash or a last chord fades; by then it is 40 dB down (see docs)."""


def band_stems(
    arrangement: Arrangement,
    performance: Performance,
    *,
    human: float = 1.0,
    span: tuple[int, int] | None = None,
    notes: Notes = NOTES,
) -> dict[str, Samples]:
    """Every part as sound, by name.

    `span`: first sample and the one after the last, the whole track when it is None (see
    `track_samples`). `human` scales the human timing. Errors: SettingError for a drum that is not
    in the kit or a looseness no player has; ReedwrightError if a number is none.
    """
    first, last = span or (0, track_samples(arrangement, performance))
    if not 0 <= first <= last:
        raise ValueError(f"Band: no span from sample {first} to {last}.")
    return {
        part.value: _stem(arrangement, performance, part, human, (first, last), notes)
        for part in Part
        if arrangement.notes.get(part)
    }


def track_samples(arrangement: Arrangement, performance: Performance) -> int:
    """From the count-in to where the band has faded after its last bar, or the tune has ended."""
    beats = performance.count_in_beats + arrangement.length_beats
    band_s = performance.seconds(beats) + RING_S
    return ceil(max(band_s, performance.length_s) * RATE_HZ)


def bar_span(
    arrangement: Arrangement, performance: Performance, first: int, last: int
) -> tuple[int, int]:
    """The samples of bars `first` to `last` of the band's bars (counted from 0, both inside)."""
    beats = arrangement.score.tune.meter.beats
    start = performance.count_in_beats + arrangement.bars[first].start
    end = performance.count_in_beats + arrangement.bars[last].start + beats
    return round(performance.seconds(start) * RATE_HZ), round(performance.seconds(end) * RATE_HZ)


def _stem(
    arrangement: Arrangement,
    performance: Performance,
    part: Part,
    human: float,
    span: tuple[int, int],
    notes: Notes,
) -> Samples:
    first, last = span
    mix = np.zeros((last - first, 2), np.float32)
    for stroke in strokes(arrangement, performance, part, human=human):
        start = round(stroke.played_s * RATE_HZ)
        if start < last and start + _longest(stroke) > first:
            add_stroke(mix, stroke, start - first, notes)
    if not np.isfinite(mix.sum()):  # one number that is none makes the sum none
        raise ReedwrightError(f"Band: the sound of the {part.value} holds a number that is none.")
    return mix


def add_stroke(mix: Samples, stroke: Stroke, start: int, notes: Notes = NOTES) -> None:
    """Add a stroke that begins at a sample of a mix (or before it): its note, then its end."""
    note = notes.note(stroke.key)
    if stroke.length_s == RINGS_OUT:
        add_note(mix, note.heard, start, stroke.gain)
        return
    length = min(len(note.heard), round(stroke.length_s * RATE_HZ))
    add_note(mix, note.heard[:length], start, stroke.gain)
    end, wet = note.heard[length:], note.wet[length:]
    fades = _fades(place_of(stroke.key.instrument).release_s)
    add_release(mix, end, wet, start + length, stroke.gain, fades)


@cache
def _fades(release_s: float) -> Samples:
    """How a note that is let go fades (half a cosine, squared), and what its room adds to that:
    it falls by 60 dB in LINGERS_S."""
    release = np.arange(int(release_s * RATE_HZ)) / (release_s * RATE_HZ)
    linger = np.arange(int(LINGERS_S * RATE_HZ)) / (LINGERS_S * RATE_HZ)
    held, room = (np.zeros(max(release.size, linger.size)) for _ in range(2))
    held[: release.size] = np.cos(release * np.pi / 2) ** 2
    room[: linger.size] = 10 ** (-3 * linger) * (1 - linger)
    return np.stack([held, np.maximum(0.0, room - held)], axis=1).astype(np.float32)


def _longest(stroke: Stroke) -> int:
    """Samples after which a sound is over for certain."""
    if stroke.length_s == RINGS_OUT:
        length_s = pieces()[stroke.key.midi].ring_s
    else:
        length_s = stroke.length_s + place_of(stroke.key.instrument).release_s
    return int((length_s + TAIL_S) * RATE_HZ) + 2
