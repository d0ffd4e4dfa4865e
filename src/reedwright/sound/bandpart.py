"""The band's bars for a recording: all of them, or those under a lick, made once and kept.

Conventions: (samples, 2) float32; a cut has only the notes that begin in its bars, moved so that
its first bar is bar 1 after the count-in, played with the timing they have in the whole. Parts are
rendered a stretch at a time, so that memory holds no more than their sum.
"""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import cached_property, partial

import numpy as np

from reedwright.band.play import RING_S, band_stems
from reedwright.band.values import Arrangement, BandNote, Part
from reedwright.sound.cache import Store, key_of
from reedwright.sound.signal import RATE_HZ, Samples, finite, samples_at
from reedwright.sound.take import Font, Take

RECIPE = 1
"""Goes up when the same arrangement sounds different."""

STRETCH = 20 * RATE_HZ
"""Samples rendered at a time: 16 MB for the four parts."""

RING = samples_at(RING_S)


@dataclass(frozen=True)  # no slots: the key is worked out once, and remembered
class BandPart:
    """The band, or one `part` of it, over some bars of a take; `samples` from the count-in."""

    take: Take
    arrangement: Arrangement
    samples: int
    part: Part | None = None

    @cached_property
    def key(self) -> str:
        performance, font = self.take.performance, self.take.manner.font
        notes = {
            part.value: notes
            for part, notes in self.arrangement.notes.items()
            if self.part in (None, part)
        }
        return key_of(
            *("band", RECIPE, self.samples, str(notes), self.arrangement.keys.value),
            *(self.arrangement.seed, performance.tempo_bpm, performance.ratio),
            *(performance.count_in_beats, self.take.manner.human, font and font.key),
        )

    def sound(self, store: Store) -> Samples:
        """The sum of its parts."""
        return store.samples(self.key, self._made)

    def _made(self) -> Samples:
        mix = np.zeros((self.samples, 2), np.float32)
        if self.take.manner.font is not None:
            for stem in self._with_font(self.take.manner.font):
                mix[: len(stem)] += stem[: self.samples]
            return np.asarray(finite(mix, "band"))
        with ThreadPoolExecutor(2) as pool:
            for start in range(0, self.samples, STRETCH):
                span = (start, min(self.samples, start + STRETCH))
                for stem in pool.map(partial(self._stem, span), self.arrangement.notes):
                    mix[span[0] : span[1]] += stem
        return np.asarray(finite(mix, "band"))

    def _with_font(self, font: Font) -> Iterator[Samples]:
        from reedwright.band.soundfont import font_stems

        performance, human = self.take.performance, self.take.manner.human
        stems = font_stems(self.arrangement, performance, font.data, font.name, human=human)
        yield from stems.values()

    def _stem(self, span: tuple[int, int], part: Part) -> Samples:
        """One part between two samples."""
        only, human = _only(self.arrangement, part), self.take.manner.human
        stems = band_stems(only, self.take.performance, human=human, span=span)
        return stems.get(part.value, np.zeros((span[1] - span[0], 2), np.float32))

    def stretch(self, span: tuple[int, int]) -> Samples:
        """The sound between two samples alone, by our own instruments; nothing is kept."""
        return np.asarray(sum(self._stem(span, part) for part in self.arrangement.notes))


def whole(take: Take, part: Part | None = None) -> BandPart:
    """All the band plays."""
    return BandPart(take, _only(take.arrangement, part), take.samples, part)


def under(take: Take, first_bar: int, bars: int) -> BandPart:
    """The band under some bars, ringing on after them."""
    beats = take.score.tune.meter.beats
    start, end = first_bar * beats, (first_bar + bars) * beats
    full = take.arrangement
    notes = {
        part: tuple(_moved(note, start) for note in notes if start <= note.start < end)
        for part, notes in full.notes.items()
    }
    cut = replace(full, notes=notes, bars=full.bars[first_bar : first_bar + bars])
    return BandPart(take, cut, take.bar_sample(bars) + RING)


def _moved(note: BandNote, beats: int) -> BandNote:
    return replace(note, start=note.start - beats)


def _only(arrangement: Arrangement, part: Part | None) -> Arrangement:
    if part is None:
        return arrangement
    return replace(arrangement, notes={part: arrangement.notes.get(part, ())})
