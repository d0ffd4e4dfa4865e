"""Strings are in tune, brighter when plucked harder, and fall silent.

Source of the bounds: ours (docs/band-sounds.md). The pitch is judged by autocorrelation written
here from its definition, not by anything the instruments use.
"""

import numpy as np
import pytest

from reedwright.band.instruments.strings import plucked, string_kind
from reedwright.band.instruments.values import LAYERS, RATE_HZ, NoteKey

BASSES = [(name, midi) for name in ("upright", "electric-bass") for midi in range(28, 61, 3)]
GUITARS = [("guitar", midi) for midi in range(40, 89, 4)]


def pitch_hz(wave: np.ndarray, guess_hz: float) -> float:
    """The lag of many periods at which a wave is most like itself."""
    size = wave.size
    spectrum = np.abs(np.fft.rfft(wave, 2 * size)) ** 2
    alike = np.fft.irfft(spectrum)
    periods = max(1, int(0.3 * size * guess_hz / RATE_HZ))
    low, high = (int((periods + part) * RATE_HZ / guess_hz) for part in (-0.4, 0.4))
    peak = low + int(np.argmax(alike[low:high]))
    before, at, after = alike[peak - 1 : peak + 2]
    return periods * RATE_HZ / (peak + 0.5 * (before - after) / (before - 2 * at + after))


def cents(wave: np.ndarray, midi: int) -> float:
    exact_hz = 440 * 2 ** ((midi - 69) / 12)
    return 1200 * float(np.log2(pitch_hz(wave, exact_hz) / exact_hz))


def centroid_hz(wave: np.ndarray) -> float:
    power = np.abs(np.fft.rfft(wave)) ** 2
    return float((power * np.fft.rfftfreq(wave.size, 1 / RATE_HZ)).sum() / power.sum())


def test_the_judge_itself_is_exact() -> None:
    seconds = np.arange(RATE_HZ) / RATE_HZ
    for midi in (28, 45, 60, 88):
        hz = 440 * 2 ** ((midi - 69) / 12)
        wave = sum(np.sin(2 * np.pi * hz * n * seconds) / n for n in (1, 2, 3))
        assert abs(cents(wave * np.exp(-3 * seconds), midi)) < 0.25
    off = np.sin(2 * np.pi * 110 * 2 ** (5 / 1200) * seconds)
    assert cents(off, 45) == pytest.approx(5, abs=0.1)


@pytest.mark.parametrize(("name", "midi"), BASSES + GUITARS)
def test_in_tune(name: str, midi: int) -> None:
    for layer in (0, LAYERS - 1):
        for variant in range(3):
            wave = plucked(NoteKey(name, midi, layer, variant, 1), RATE_HZ)
            assert abs(cents(wave[RATE_HZ // 10 :], midi)) <= 0.5


@pytest.mark.parametrize("name", ["upright", "electric-bass", "guitar"])
def test_harder_is_brighter(name: str) -> None:
    bright = [
        sum(
            centroid_hz(plucked(NoteKey(name, 45, layer, variant, 1), RATE_HZ // 2))
            for variant in range(3)
        )
        for layer in range(LAYERS)
    ]
    assert bright[0] < bright[1] < bright[3]
    assert bright[3] > 1.2 * bright[0]


@pytest.mark.parametrize("name", ["upright", "electric-bass", "guitar"])
def test_a_string_rings_as_long_as_the_table_says_and_falls_silent(name: str) -> None:
    kind = string_kind(name)
    midi = round(69 + 12 * np.log2(kind.sustain_hz / 440))
    wave = plucked(NoteKey(name, midi, 2, 0, 1), 8 * RATE_HZ)
    # The fundamental's own decay, between two moments, by projecting on a sine and a cosine.
    hz = 440 * 2 ** ((midi - 69) / 12)
    early, late = (_level_db(wave, hz, at_s) for at_s in (0.5, 1.5))
    assert early - late == pytest.approx(60 / kind.sustain_s, rel=0.1)
    assert np.abs(wave[-RATE_HZ // 10 :]).max() < 1e-3 * np.abs(wave).max()


def _level_db(wave: np.ndarray, hz: float, at_s: float) -> float:
    span = slice(int(at_s * RATE_HZ), int((at_s + 0.5) * RATE_HZ))
    turns = np.exp(-2j * np.pi * hz * np.arange(RATE_HZ // 2) / RATE_HZ) * np.hanning(RATE_HZ // 2)
    return 20 * float(np.log10(np.abs(np.sum(wave[span] * turns))))


@pytest.mark.parametrize("midi", [52, 64, 76])
def test_the_guitars_overload_folds_nothing_back(midi: int) -> None:
    wave = plucked(NoteKey("guitar", midi, LAYERS - 1, 0, 1), RATE_HZ)[4800:]
    window = np.blackman(wave.size)
    level = np.abs(np.fft.rfft(wave * window))
    bins = np.arange(level.size) * RATE_HZ / wave.size
    hz = 440 * 2 ** ((midi - 69) / 12)
    off = np.abs(bins / hz - np.round(bins / hz)) * hz
    between = (off > 25) & (bins > hz / 2)
    assert 20 * np.log10(level[between].max() / level.max()) < -80
