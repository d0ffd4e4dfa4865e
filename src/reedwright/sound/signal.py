"""Samples between the stages of this room: their shapes, their check for NaN, and levels.

Conventions: float32 at 48 kHz, (samples,) or (samples, 2), full scale 1; levels in dBFS.
"""

from __future__ import annotations

from math import inf, log10
from typing import Any

import numpy as np
from numpy.typing import NDArray

from reedwright.errors import ReedwrightError

RATE_HZ = 48_000
Samples = NDArray[np.float32]


class SoundError(ReedwrightError):
    """A stage that gave samples nobody can work with; `stage` names it."""

    def __init__(self, stage: str, what: str) -> None:
        self.stage, self.what = stage, what
        super().__init__(f"Sound, stage `{stage}`: {what}.")


def finite(samples: NDArray[Any], stage: str) -> NDArray[Any]:
    """The samples themselves. Errors: SoundError where one is NaN or infinite."""
    if not np.isfinite(np.sum(samples, dtype=np.float64)):  # one pass; a NaN or infinity stays
        where = int(np.argmin(np.isfinite(samples.reshape(-1)))) // max(1, channels_of(samples))
        raise SoundError(stage, f"sample {where} is no finite number")
    return samples


def channels_of(samples: NDArray[Any]) -> int:
    """1 or 2. Errors: SoundError for any other shape."""
    if samples.ndim == 1:
        return 1
    if samples.ndim == 2 and samples.shape[1] in (1, 2):
        return int(samples.shape[1])
    raise SoundError("shape", f"an array of shape {samples.shape}, not of one or two channels")


def as_columns(samples: NDArray[Any]) -> NDArray[Any]:
    """(samples, channels), whatever came."""
    return samples.reshape(len(samples), channels_of(samples))


def decibels(amplitude: float) -> float:
    """The level of an amplitude; minus infinity for none."""
    return 20 * log10(amplitude) if amplitude > 0 else -inf


def amplitude(level_db: float) -> float:
    """The factor a level stands for."""
    return float(10 ** (level_db / 20))


def samples_at(time_s: float) -> int:
    """The sample nearest to a moment."""
    return round(time_s * RATE_HZ)
