"""Test signals and measurements for the amplifier; samples at 48 kHz, lines of an FFT one hertz
apart, so that whole hertz fall on them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from reedwright.amp.chain import amplified
from reedwright.amp.read import default_rig
from reedwright.amp.rig import Rig

RATE_HZ = 48_000
OPEN, CLOSED = 1.0, 0.0


def sines(*hz: float, rms: float = 0.1, seconds: float = 2.0) -> NDArray[np.float32]:
    """Sines of equal level, of a given RMS together."""
    time_s = np.arange(round(seconds * RATE_HZ)) / RATE_HZ
    sound = np.sum([np.sin(2 * np.pi * f * time_s + i) for i, f in enumerate(hz)], axis=0)
    return (sound * rms / np.sqrt(np.mean(sound**2))).astype(np.float32)


def reed(hz: float, rms: float = 0.1, seconds: float = 1.0) -> NDArray[np.float32]:
    """A steady harp-like note: the second partial above the first, then 9 dB less an octave, up to
    12 kHz (from memory: no published roll-off was found)."""
    rng = np.random.default_rng(round(hz))
    time_s = np.arange(round(seconds * RATE_HZ)) / RATE_HZ
    sound = np.zeros(len(time_s))
    for k in range(1, int(12_000 / hz) + 1):
        level = 1.0 if k == 1 else 1.2 * 10 ** (-9 * np.log2(k / 2) / 20)
        sound += level * np.sin(2 * np.pi * k * hz * time_s + rng.uniform(0, 2 * np.pi))
    return (sound * rms / np.sqrt(np.mean(sound**2))).astype(np.float32)


def hands(like: NDArray[np.float32], openness: float) -> NDArray[np.float32]:
    return np.full(len(like), openness, np.float32)


def without_room(rig: Rig | None = None) -> Rig:
    """A rig whose sound ends at the speaker."""
    rig = rig or default_rig()
    return replace(
        rig,
        room=replace(rig.room, share_percent=0.0),
        echo=replace(rig.echo, share_percent=0.0),
        spring=replace(rig.spring, share_percent=0.0),
    )


def lines(sound: NDArray[np.float32], openness: float, rig: Rig) -> NDArray[np.float64]:
    """Magnitudes of the last second through the rig, a line each hertz."""
    heard = amplified(sound, hands(sound, openness), rig)[-RATE_HZ:]
    return np.abs(np.fft.rfft(heard.astype(np.float64)))


def centroid_hz(sound: NDArray[np.float32]) -> float:
    """The centre of gravity of the magnitudes, as music programs measure it."""
    windowed = sound.astype(np.float64) * np.hanning(len(sound))
    magnitude = np.abs(np.fft.rfft(windowed))
    return float(np.sum(np.fft.rfftfreq(len(sound), 1 / RATE_HZ) * magnitude) / magnitude.sum())
