"""A closed cup breaks up, an open one stays clean: harmonics and intermodulation by FFT.

The factor of four is a design figure of the project, no source. Definitions: total harmonic
distortion is the RMS of the harmonics over the fundamental; intermodulation is what lies on none of
the notes' own harmonics, over the notes (common practice). The notes of a chord are whole hertz, so
that every product of theirs falls on a line.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.amp.signals import CLOSED, OPEN, lines, sines, without_room

LEVELS_DBFS = {"soft": -26, "medium": -20, "loud": -14}
TIMES = 4.0


def harmonic_percent(note_hz: int, level_dbfs: float, openness: float) -> float:
    spectrum = lines(sines(note_hz, rms=10 ** (level_dbfs / 20)), openness, without_room())
    harmonics = spectrum[2 * note_hz :: note_hz]
    return float(100 * np.sqrt(np.sum(harmonics**2)) / spectrum[note_hz])


def intermodulation_percent(chord_hz: tuple[int, ...], level_dbfs: float, openness: float) -> float:
    spectrum = lines(sines(*chord_hz, rms=10 ** (level_dbfs / 20)), openness, without_room())
    hz = np.arange(len(spectrum))
    own = np.any([hz % note == 0 for note in chord_hz], axis=0)
    own[:20] = True  # the sag settles there
    notes = np.sum(spectrum[list(chord_hz)] ** 2)
    return float(100 * np.sqrt(np.sum(spectrum[~own] ** 2) / notes))


@pytest.mark.parametrize("level_dbfs", LEVELS_DBFS.values(), ids=LEVELS_DBFS)
@pytest.mark.parametrize("note_hz", [196, 392, 587, 784, 1047])
def test_harmonics_of_one_note(note_hz: int, level_dbfs: float) -> None:
    clean = harmonic_percent(note_hz, level_dbfs, OPEN)
    assert harmonic_percent(note_hz, level_dbfs, CLOSED) >= TIMES * clean


@pytest.mark.parametrize("level_dbfs", LEVELS_DBFS.values(), ids=LEVELS_DBFS)
@pytest.mark.parametrize("chord_hz", [(196, 247, 293), (293, 393, 493), (523, 659, 787)])
def test_intermodulation_of_a_chord(chord_hz: tuple[int, ...], level_dbfs: float) -> None:
    clean = intermodulation_percent(chord_hz, level_dbfs, OPEN)
    assert intermodulation_percent(chord_hz, level_dbfs, CLOSED) >= TIMES * clean


def test_open_is_clean_and_closed_is_not() -> None:
    """At a medium breath; the bounds are a design, no source: a few percent of harmonics are heard
    as warmth, ten as breaking up (from memory)."""
    assert harmonic_percent(392, -20, OPEN) < 2
    assert harmonic_percent(392, -20, CLOSED) > 8


def test_even_harmonics_come_first() -> None:
    """An asymmetric curve makes a second harmonic; a symmetric one could not (Taylor)."""
    spectrum = lines(sines(392, rms=0.05), OPEN, without_room())
    assert spectrum[2 * 392] > spectrum[3 * 392]
    assert spectrum[2 * 392] > 1e-3 * spectrum[392]
