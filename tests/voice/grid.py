"""``python -m tests.voice.grid``: every note of every key, judged; writes docs/voice-figures.md.

Conventions: notes of 1.2 s, without human looseness; judged from 150 ms after the onset. Pitch by
autocorrelation (`measures`), by librosa's yin, and by swift-f0 up to `SWIFT_TO_HZ`: against a
steady tone with the same partials and hiss, since its own error is many times what is to be judged
(see the page).
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

import librosa
import numpy as np
from scipy.signal import resample_poly
from swift_f0 import SwiftF0

from reedwright.harp.harp import Harp, harp_named
from reedwright.harp.note import Breath, TabNote
from reedwright.harp.pitch import KEYS
from reedwright.voice.render import render, sound_of
from reedwright.voice.segments import segments
from reedwright.voice.values import Segment
from tests.voice.builders import held
from tests.voice.measures import (
    SAMPLE_HZ,
    attack_ms,
    centroid_hz,
    cents,
    dbfs,
    edge_click_dbfs,
    pitch_hz,
)

MANNERS = ("soft", "medium", "loud")
FIRST, LAST = 7_200, 54_000  # samples judged of a note of 57,600
SWIFT_TO_HZ = 2_000.0
SWIFT_RATE_HZ = 16_000


@dataclass(frozen=True)
class Judged:
    """One note at one loudness. `swift_cents` NaN above the range."""

    key: str
    note: TabNote
    manner: str
    hertz: float
    meant: bool  # that the model plays it
    started: bool  # and it did
    off_cents: float
    yin_cents: float
    swift_cents: float
    attack_ms: float
    level_dbfs: float
    centroid_hz: float
    edge_dbfs: float

    @property
    def group(self) -> str:
        if self.note.over:
            return "overbends"
        if not self.note.bend:
            return "natural notes, holes 1-6" if self.note.hole <= 6 else "natural notes, 7-10"
        return "draw bends, holes 1-6" if self.note.breath is Breath.DRAW else "blow bends, 8-10"


def stand_in(segment: Segment) -> Segment:
    """The same segment, by wavetable."""
    return replace(segment, lines=tuple(replace(line, modelled=False) for line in segment.lines))


def segments_of(harp: Harp, manner: str) -> list[tuple[TabNote, Segment]]:
    """Every note of a harp, held for 1.2 s."""
    notes = list(harp.notes())
    played = held([str(note) for note in notes], harp=harp.name, tempo=100, manner=manner)
    return list(zip(notes, segments(played), strict=True))


def judged(harp: Harp, note: TabNote, manner: str, segment: Segment) -> Judged:
    sound, hertz = render(segment), harp.hertz(note)
    line = segment.lines[0]
    steady = sound[FIRST:LAST]
    return Judged(
        key=harp.name,
        note=note,
        manner=manner,
        hertz=hertz,
        meant=line.modelled,
        started=line.modelled and sound_of(line, segment)[1],
        off_cents=cents(pitch_hz(steady, hertz), hertz),
        yin_cents=cents(yin_hz(steady, hertz), hertz),
        swift_cents=swift_cents(steady, hertz) if hertz < SWIFT_TO_HZ else float("nan"),
        attack_ms=attack_ms(sound, hertz, FIRST, LAST),
        level_dbfs=dbfs(steady),
        centroid_hz=centroid_hz(steady),
        edge_dbfs=edge_click_dbfs(sound),
    )


@lru_cache(1)
def _tracker() -> SwiftF0:
    return SwiftF0(threads=1, spin=False)


def swift_hz(sound: np.ndarray) -> float:
    """Median pitch by swift-f0, frames at the ends left out; brought to its own rate by us."""
    slow = resample_poly(np.asarray(sound, dtype=float), 1, SAMPLE_HZ // SWIFT_RATE_HZ)
    found = _tracker().detect(slow.astype(np.float32), SWIFT_RATE_HZ)
    return float(np.median(found.pitch_hz[4:-4]))


def swift_cents(sound: np.ndarray, hertz: float) -> float:
    """How far it hears the sound from a steady tone at the right pitch that has the same partials
    and the same hiss: both move its answer by several cents, or an octave."""
    real_hz = pitch_hz(sound, hertz)
    as_is, right = steady_tones(sound, real_hz, hertz)
    return cents(swift_hz(sound), swift_hz(sound - as_is + right))


def steady_tones(sound: np.ndarray, real_hz: float, hertz: float) -> tuple[np.ndarray, np.ndarray]:
    """Tones of the partials of a sound, at its own pitch and at another."""
    time_s = np.arange(len(sound)) / SAMPLE_HZ
    window = np.hanning(len(sound)) * 2 / np.hanning(len(sound)).sum()
    own, other = np.zeros(len(sound)), np.zeros(len(sound))
    for order in range(1, int(SWIFT_RATE_HZ / 2 / hertz) + 1):
        wave = (sound * window * np.exp(-2j * np.pi * real_hz * order * time_s)).sum()
        own += (wave * np.exp(2j * np.pi * real_hz * order * time_s)).real
        other += (wave * np.exp(2j * np.pi * hertz * order * time_s)).real
    return own, other


def yin_hz(sound: np.ndarray, hertz: float) -> float:
    """Median pitch by librosa's yin (a difference function, near kin of the autocorrelation)."""
    found = librosa.yin(
        np.asarray(sound, dtype=float),
        fmin=0.7 * hertz,
        fmax=1.4 * hertz,
        sr=SAMPLE_HZ,
        frame_length=8_192,
        hop_length=4_096,
    )
    return float(np.median(found[2:-2]))


def every(keys: tuple[str, ...] = KEYS, manners: tuple[str, ...] = MANNERS) -> Iterator[Judged]:
    """The grid, or part of it."""
    for key in keys:
        harp = harp_named(key)
        for manner in manners:
            for note, segment in segments_of(harp, manner):
                yield judged(harp, note, manner, segment)


def seams(
    keys: tuple[str, ...], manners: tuple[str, ...] = MANNERS
) -> Iterator[tuple[float, float]]:
    """(ratio of centroids, difference of levels in dB), stand-in against model, same notes."""
    for key in keys:
        for manner in manners:
            for _, segment in segments_of(harp_named(key), manner):
                if segment.lines[0].modelled:
                    model, other = (render(one)[FIRST:LAST] for one in (segment, stand_in(segment)))
                    ratio = centroid_hz(other) / centroid_hz(model)
                    yield ratio, dbfs(other) - dbfs(model)


if __name__ == "__main__":
    from tests.voice.figures import write

    began = time.perf_counter()
    write(sys.argv[1:])
    print(f"{time.perf_counter() - began:.0f} s", file=sys.stderr)
