"""Random numbers for sounds, each drawn from a text, so that a sound is the same every time.

Conventions: noise is white, Gaussian, with a standard deviation of 1; shares lie in −1 … 1.
"""

from __future__ import annotations

from hashlib import sha256

import numpy as np
from numpy.typing import NDArray

Wave = NDArray[np.float64]


def generator(key: str) -> np.random.Generator:
    """A source of random numbers of its own for a text."""
    return np.random.default_rng(int.from_bytes(sha256(key.encode()).digest()[:16], "big"))


def noise(key: str, samples: int) -> Wave:
    """White noise."""
    return generator(key).standard_normal(samples)


def share(key: str) -> float:
    """A number between −1 and 1, evenly spread."""
    return float(generator(key).uniform(-1.0, 1.0))


def pick(key: str, count: int) -> int:
    """One of `count` things, counted from 0."""
    return int.from_bytes(sha256(key.encode()).digest()[:8], "big") % count
