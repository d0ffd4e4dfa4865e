"""The hand cup against the Helmholtz formula's worked values, and its effect by an independent
measure of the centroid (librosa)."""

from __future__ import annotations

import librosa
import numpy as np
import pytest

from reedwright.voice.cup import acoustic, helmholtz_hz
from tests.amp.signals import hands, reed

# Handbook values, worked out from f = (c / 2 pi) sqrt(A / (V L)), L = 2 cm, assumed sizes.
WORKED = [(300, 1, 223), (200, 4, 546), (150, 12, 1092)]


@pytest.mark.parametrize(("volume_cm3", "opening_cm2", "hz"), WORKED)
def test_helmholtz(volume_cm3: float, opening_cm2: float, hz: float) -> None:
    assert helmholtz_hz(volume_cm3, opening_cm2) == pytest.approx(hz, rel=0.002)


def centroid_hz(sound: np.ndarray) -> float:
    frames = librosa.feature.spectral_centroid(y=sound, sr=48_000, n_fft=4096)
    return float(np.median(frames))


@pytest.mark.parametrize("note_hz", [196, 262, 392, 523, 784, 1047])
def test_closed_hands_halve_the_centroid(note_hz: float) -> None:
    """The factor of two is a design figure, from memory. Above C6 a note's own fundamental keeps
    the centroid from falling so far."""
    note = reed(note_hz)
    open_hz, closed_hz = (centroid_hz(acoustic(note, hands(note, o))) for o in (1.0, 0.0))
    assert open_hz >= 2 * closed_hz


@pytest.mark.parametrize("rate_hz", [2.0, 4.0, 7.0])
def test_a_moving_cup_is_a_wah_at_its_rate(rate_hz: float) -> None:
    note = reed(392, seconds=3.0)
    time_s = np.arange(len(note)) / 48_000
    cup = (0.5 - 0.5 * np.cos(2 * np.pi * rate_hz * time_s)).astype(np.float32)
    y = acoustic(note, cup)
    track = librosa.feature.spectral_centroid(y=y, sr=48_000, n_fft=1024, hop_length=480)[0]
    track = track[10:-10]
    swing = np.abs(np.fft.rfft((track - track.mean()) * np.hanning(len(track)), 16_384))
    found_hz = np.argmax(swing) * 100 / 16_384  # a hundred frames a second
    assert found_hz == pytest.approx(rate_hz, abs=0.15)
    assert np.percentile(track, 95) >= 2 * np.percentile(track, 5)
