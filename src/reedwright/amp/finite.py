"""The check at the edge of every stage of this room: no sample may be NaN or infinite.

Convention: kernels with fast arithmetic cannot see NaN, so this stands outside them.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from reedwright.errors import ReedwrightError

RATE_HZ = 48_000
"""Samples a second, everywhere inside."""

Floats = NDArray[np.float64]
Sound = NDArray[np.float32]


class SignalError(ReedwrightError):
    """Samples no stage can work with; `stage` names the one that met them."""

    def __init__(self, stage: str, what: str) -> None:
        self.stage, self.what = stage, what
        super().__init__(f"amplifier, {stage}: {what}.")


def finite(samples: NDArray[Any], stage: str) -> NDArray[Any]:
    """The samples themselves. Errors: SignalError."""
    if not np.isfinite(np.sum(samples, dtype=np.float64)):  # one pass; a NaN or infinity stays
        where = int(np.argmin(np.isfinite(samples)))
        raise SignalError(stage, f"sample {where} is no finite number")
    return samples


def mono(samples: NDArray[Any], stage: str) -> NDArray[Any]:
    """Samples of one channel, finite. Errors: SignalError."""
    if samples.ndim != 1:
        raise SignalError(stage, f"an array of shape {samples.shape}, not of one channel")
    return finite(samples, stage)
