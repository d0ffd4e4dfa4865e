"""The number loops of loudness: true peaks, and the release of the limiter.

Conventions: samples (samples, channels) float32; `taps` (phases, width) as in `loudness`. Fast
arithmetic: callers check for NaN. Between two samples nothing can exceed the largest sample near by
times the taps' absolute sum, so quiet stretches are passed over.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from reedwright.kernels import kernel

Samples = NDArray[np.float32]

STRIDE = 32  # samples looked at together


@kernel()
def largest_gain(taps: Samples) -> float:
    """How far a value between samples can exceed the samples it is made of."""
    most = 1.0
    for phase in range(taps.shape[0]):
        total = 0.0
        for tap in range(taps.shape[1]):
            total += abs(taps[phase, tap])
        most = max(most, total)
    return most


@kernel(fast=True)
def near_peak(samples: Samples, channel: int, first: int, last: int) -> float:
    """The largest absolute sample from `first` up to `last`, what lies outside left out."""
    most = 0.0
    for n in range(max(0, first), min(len(samples), last)):
        most = max(most, float(abs(samples[n, channel])))
    return most


@kernel(fast=True)
def between(samples: Samples, channel: int, at: int, taps: Samples) -> float:
    """The largest absolute value from sample `at` to just before the next."""
    first = at - taps.shape[1] // 2 + 1
    most = 0.0
    if first >= 0 and first + taps.shape[1] <= len(samples):
        for phase in range(taps.shape[0]):
            total = 0.0
            for tap in range(taps.shape[1]):
                total += taps[phase, tap] * samples[first + tap, channel]
            most = max(most, float(abs(total)))
        return most
    for phase in range(taps.shape[0]):
        total = 0.0
        for tap in range(taps.shape[1]):
            if 0 <= first + tap < len(samples):
                total += taps[phase, tap] * samples[first + tap, channel]
        most = max(most, float(abs(total)))
    return most


@kernel(fast=True)
def true_peak_of(samples: Samples, taps: Samples) -> float:
    """The largest absolute value of all channels, between samples too."""
    gain, half = largest_gain(taps), taps.shape[1] // 2
    most = 0.0
    for channel in range(samples.shape[1]):
        most = max(most, near_peak(samples, channel, 0, len(samples)))
    for channel in range(samples.shape[1]):
        for start in range(-half, len(samples) + half, STRIDE):
            if near_peak(samples, channel, start - half, start + STRIDE + half) * gain > most:
                for at in range(start, start + STRIDE):
                    most = max(most, between(samples, channel, at, taps))
    return most


@kernel(fast=True)
def needed_gain(samples: Samples, taps: Samples, ceiling: float) -> Samples:
    """Per sample, the gain that keeps it and its neighbourhood at or below `ceiling`."""
    gain, half = largest_gain(taps), taps.shape[1] // 2
    needed = np.ones(len(samples), np.float32)
    for channel in range(samples.shape[1]):
        for start in range(0, len(samples), STRIDE):
            if near_peak(samples, channel, start - half, start + STRIDE + half) * gain > ceiling:
                for at in range(start, min(start + STRIDE, len(samples))):
                    peak = max(abs(samples[at, channel]), between(samples, channel, at, taps))
                    if peak > ceiling:
                        allowed = np.float32(ceiling / peak)
                        needed[at] = min(needed[at], allowed)
                        if at + 1 < len(samples):
                            needed[at + 1] = min(needed[at + 1], allowed)
    return needed


@kernel(fast=True)
def released(needed: Samples, share: float) -> Samples:
    """A gain that falls at once and comes back by `share` of what is missing with every sample."""
    out = np.empty_like(needed)
    held = np.float32(1.0)
    for n in range(len(needed)):
        held = min(needed[n], np.float32(held + (1.0 - held) * share))
        out[n] = held
    return out
