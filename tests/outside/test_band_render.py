"""The band's sound against other programs: onsets heard where they are meant.

Sources: the synthesizer fluidsynth with the free General MIDI SoundFont of Debian's package
fluid-soundfont-gm renders our MIDI file; mir_eval 0.8 matches onsets in its usual window of 50 ms.
Onsets are found here by a plain rise of energy, the same way in every recording, with no knowledge
of where they ought to be.
"""

import subprocess
from fractions import Fraction
from pathlib import Path
from shutil import which

import mir_eval
import numpy as np
import pytest
import soundfile

from reedwright.band.instruments.values import RATE_HZ
from reedwright.band.midi import band_midi
from reedwright.band.play import band_stems
from reedwright.band.soundfont import INSTALLED_FILES, font_stems, read_font
from reedwright.band.values import Arrangement, BandNote, Keys, Part
from tests.band.by_hand import arrangement, note, played, score

WINDOW_S = 0.05
PARTS = ("drums", "bass", "guitar", "keys")
FONT = next((path for path in map(Path, INSTALLED_FILES) if path.is_file()), None)
UNDER = score(tempo=100)
PERFORMANCE = played(UNDER)

needs_font = pytest.mark.skipif(FONT is None, reason="no free SoundFont is installed")
needs_fluidsynth = pytest.mark.skipif(which("fluidsynth") is None, reason="no fluidsynth here")


def apart(part: Part, keys: Keys = Keys.PIANO) -> Arrangement:
    """Notes of one part on beats and swung halves, far enough apart for each onset to be heard."""
    midis = {
        Part.DRUMS: (36, 38, 37, 75, 36, 38),
        Part.BASS: (40, 43, 45, 47, 45, 43),
        Part.GUITAR: (60, 64, 62, 67, 65, 60),
        Part.KEYS: (60, 64, 67, 72, 65, 62),
    }[part]
    notes: list[BandNote] = [
        note(part, at * 3 + (Fraction(1, 2) if at % 2 else 0), midi, Fraction(3, 2), 0.8)
        for at, midi in enumerate(midis)
    ]
    return arrangement(UNDER, {part: notes}, keys=keys, style="straight")


def meant_s(part: Part) -> np.ndarray:
    """By hand: a shuffle's second half falls on two thirds of the beat."""
    beats = [at * 3 + (Fraction(2, 3) if at % 2 else 0) for at in range(6)]
    return np.array([float((PERFORMANCE.count_in_beats + beat) * 60 / 100) for beat in beats])


def onsets_s(wave: np.ndarray, floor_db: float = -30.0) -> np.ndarray:
    """Where 10 ms of sound are 10 dB above the 40 ms before them, and not before half a second."""
    mono = wave.mean(axis=1) if wave.ndim == 2 else wave
    hop = RATE_HZ // 200
    frames = mono[: mono.size // hop * hop].reshape(-1, hop)
    level_db = 10 * np.log10((frames**2).mean(axis=1) + 1e-12)
    level_db -= level_db.max()
    heard: list[float] = []
    for place in range(8, level_db.size - 1):
        now, before = level_db[place : place + 2].max(), level_db[place - 8 : place].max()
        if now > max(floor_db, before + 10) and (not heard or place / 200 - heard[-1] > 0.5):
            heard.append(place / 200)
    return np.array(heard)


def agreement(reference_s: np.ndarray, heard_s: np.ndarray) -> float:
    return float(mir_eval.onset.f_measure(reference_s, heard_s, window=WINDOW_S)[0])


def by_fluidsynth(midi: bytes, folder: Path) -> np.ndarray:
    """The file as another program plays it, dry."""
    (folder / "band.mid").write_bytes(midi)
    command = ["fluidsynth", "-ni", "-q", "-r", str(RATE_HZ), "-R", "0", "-C", "0"]
    command += ["-F", "band.wav", str(FONT), "band.mid"]
    subprocess.run(command, cwd=folder, check=True, capture_output=True, timeout=120)
    wave, rate_hz = soundfile.read(folder / "band.wav")
    assert rate_hz == RATE_HZ
    return wave


def test_the_judge_hears_clicks_where_they_are() -> None:
    wave = np.zeros(4 * RATE_HZ)
    for at_s in (0.7, 1.9, 3.1):
        first = int(at_s * RATE_HZ)
        wave[first : first + 2400] = np.sin(np.arange(2400) / 10)
    assert onsets_s(wave) == pytest.approx([0.7, 1.9, 3.1], abs=0.011)
    assert agreement(np.array([0.7, 1.9, 3.1]), onsets_s(wave)) == 1.0
    assert agreement(np.array([0.8, 1.9, 3.1]), onsets_s(wave)) < 1.0


@pytest.mark.parametrize("keys", Keys)
@pytest.mark.parametrize("part", PARTS)
def test_our_own_instruments_begin_when_they_should(part: str, keys: Keys) -> None:
    stem = band_stems(apart(Part(part), keys), PERFORMANCE)[part]
    assert agreement(meant_s(Part(part)), onsets_s(stem)) == 1.0


@needs_font
@pytest.mark.slow
def test_a_soundfonts_instruments_begin_when_they_should() -> None:
    assert FONT is not None
    font = read_font(FONT)
    for name in PARTS:
        part = Part(name)
        stem = font_stems(apart(part), PERFORMANCE, font, str(FONT))[name]
        assert agreement(meant_s(part), onsets_s(stem)) == 1.0, name


@needs_font
@needs_fluidsynth
@pytest.mark.slow
@pytest.mark.parametrize("part", PARTS)
def test_our_midi_played_by_another_program_begins_when_our_sound_does(
    part: str, tmp_path: Path
) -> None:
    band = apart(Part(part))
    theirs = onsets_s(by_fluidsynth(band_midi(band, PERFORMANCE), tmp_path))
    ours = onsets_s(band_stems(band, PERFORMANCE)[part])
    assert agreement(meant_s(Part(part)), theirs) == 1.0
    assert agreement(theirs, ours) == 1.0
