"""Slap echo: one repeat of the sound, as from a second head of a tape machine, and fainter ones.

Conventions: the sound itself passes unchanged; the echo is added to it, duller than it by one pole
at DULL_HZ, each further repeat duller again. Source of the usual delay: see `data/default.amp`.
"""

from __future__ import annotations

import numpy as np
from scipy.signal import lfilter

from reedwright.amp.finite import RATE_HZ, Sound
from reedwright.amp.pickup import pole
from reedwright.amp.values import Echo

DULL_HZ = 3_500.0  # from memory


def with_echo(samples: Sound, echo: Echo) -> Sound:
    """The sound and its echo; the tail is cut at the sound's length."""
    if not echo.share_percent:
        return samples
    delay, take = round(echo.delay_ms * RATE_HZ / 1000), pole(DULL_HZ)
    tape, repeat = np.zeros_like(samples), np.float32(echo.repeat_percent / 100)
    state = np.zeros(1)
    for start in range(delay, len(samples), delay):  # what was recorded one delay ago is known
        size = min(delay, len(samples) - start)
        past = slice(start - delay, start - delay + size)
        heard = samples[past] + repeat * tape[past]
        tape[start : start + size], state = lfilter([take], [1, take - 1], heard, zi=state)
    tape *= np.float32(echo.share_percent / 100)
    tape += samples
    return tape
