"""The small room that every part of the band stands in.

Conventions: an impulse response (samples, 2) without the direct sound. Its gain is 1 on average
over MIDDLE_HZ in either ear, so that a send of 0 dB gives a held note as much room as direct sound.
Early reflections come from
a shoebox's walls, the tail is noise that fades by 60 dB in TAIL_S, its treble sooner. The same room
for all, so that parts sound together; how far away a part stands is its send. Sizes from memory: a
small studio room.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.fft import irfft, next_fast_len, rfft

from reedwright.band.instruments.filters import high_pass, low_pass
from reedwright.band.instruments.seeds import Wave, noise
from reedwright.band.instruments.values import RATE_HZ

TAIL_S = 0.36
FIRST_MS = (4.1, 6.3, 9.7, 13.2, 17.9, 23.6)
"""When the early reflections reach the left ear; the right one hears them EAR_MS apart."""

EAR_MS = (0.31, -0.42, 0.55, -0.27, 0.48, -0.61)
FIRST_SHARE = 0.6
"""Share of the energy in the early reflections."""

LOW_HZ, HIGH_HZ = 140.0, 6500.0
"""The room is deaf below and above these: no boom under the bass, no hiss over the cymbals."""

MIDDLE_HZ = (200.0, 2000.0)
"""Where notes have their strength; the room's level is meant here."""

_STEP = 8192


@lru_cache(maxsize=1)
def response() -> Wave:
    """(samples, 2)."""
    samples = int(TAIL_S * RATE_HZ)
    moments = np.arange(samples) / RATE_HZ
    ears = [_ear(ear, samples, moments) for ear in range(2)]
    return np.stack(ears, axis=1)


def _ear(ear: int, samples: int, moments: Wave) -> Wave:
    early = np.zeros(samples)
    for number, (first_ms, apart_ms) in enumerate(zip(FIRST_MS, EAR_MS, strict=True)):
        place = int((first_ms + ear * apart_ms) * RATE_HZ / 1000)
        early[place] += (-1) ** number * 0.82**number
    bright = noise(f"room|{ear}|bright", samples) * 10 ** (-3 * moments / (0.55 * TAIL_S))
    dark = low_pass(noise(f"room|{ear}|dark", samples), 1800.0) * 10 ** (-3 * moments / TAIL_S)
    tail = (0.5 * bright + 1.5 * dark) * np.minimum(1.0, moments / 0.012)
    tail *= np.minimum(1.0, (moments[-1] - moments) / 0.03)
    whole = FIRST_SHARE**0.5 * _unit(early) + (1 - FIRST_SHARE) ** 0.5 * _unit(tail)
    whole = low_pass(high_pass(whole, LOW_HZ), HIGH_HZ, 1)
    hz = np.fft.rfftfreq(samples, 1 / RATE_HZ)
    gain = np.abs(np.fft.rfft(whole))[(hz > MIDDLE_HZ[0]) & (hz < MIDDLE_HZ[1])]
    return whole / float(np.sqrt(np.mean(gain**2)))


def _unit(wave: Wave) -> Wave:
    return wave / float(np.sqrt(np.sum(wave * wave)))


def roomy(wave: Wave) -> NDArray[np.float64]:
    """What the room answers to a wave (samples,): longer by the tail, (samples, 2)."""
    length = wave.size + response().shape[0]
    size = next_fast_len(-(-length // _STEP) * _STEP, real=True)
    heard = rfft(wave.astype(np.float32), size)[:, None] * _spectrum(size)
    made: NDArray[np.float32] = irfft(heard, size, axis=0)[:length]
    return made.astype(np.float64)


@lru_cache(maxsize=24)
def _spectrum(size: int) -> NDArray[np.complex64]:
    made: NDArray[np.complex64] = rfft(response().astype(np.float32), size, axis=0)
    return made
