"""Bringing a mix to its loudness without exceeding its ceiling.

Conventions: loudness in LUFS, ceiling in dBTP, lengths in samples. Gain first; only where peaks
would pass the ceiling does a limiter take them down: it looks ahead, so the gain has reached its
place when the peak comes, and the loudness it takes is given back by more gain. The targets: -16
LUFS and -1 dBTP (AES TD1008 and EBU R 128).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isinf

import numpy as np
from scipy.ndimage import minimum_filter1d, uniform_filter1d

from reedwright.sound.loudkernels import needed_gain, released
from reedwright.sound.loudness import integrated_lufs, taps, true_peak_dbtp
from reedwright.sound.signal import RATE_HZ, Samples, amplitude, as_columns, finite

TARGET_LUFS = -16.0
CEILING_DBTP = -1.0
NEAR_LU = 0.25
"""How near the target is near enough; the allowance is 0.5 LU."""

STEP_DB = 0.2
"""Gains are whole steps of this, half the least that is noticed (from memory): so an edit of one
note mostly leaves the gain alone, and with it every piece of a file that it does not touch."""

MOST_GAIN_DB = 40.0
"""A mix that needs more than this is as good as silent (from memory)."""

AHEAD = 240
"""Samples, 5 ms, in which the limiter's gain falls (common practice)."""

RELEASE_S = 0.08
"""In which most of it comes back (common practice)."""

TRIES = 6
LEAST_SLOPE = 0.15  # a bound on the next step
_SAFETY_DB = 0.02  # float32, and the gain's slope inside the reach of the taps


@dataclass(frozen=True, slots=True)
class Levelled:
    """Samples at their loudness. `limited_db`: the most the limiter took away, 0 for nothing."""

    samples: Samples
    gain_db: float
    lufs: float
    true_peak_dbtp: float
    limited_db: float = 0.0


def levelled(
    mix: Samples, ceiling_dbtp: float = CEILING_DBTP, target_lufs: float = TARGET_LUFS
) -> Levelled:
    """A mix at the target loudness; silence stays silence. Errors: SoundError."""
    loudness, peak = integrated_lufs(finite(mix, "mix")), true_peak_dbtp(mix)
    if isinf(loudness):
        return Levelled(mix, 0.0, loudness, peak)
    gain_db = min(MOST_GAIN_DB, stepped(target_lufs - loudness))
    if peak + gain_db <= ceiling_dbtp:
        louder = (mix * np.float32(amplitude(gain_db))).astype(np.float32, copy=False)
        return Levelled(louder, gain_db, loudness + gain_db, peak + gain_db)
    return _limited_to(mix, gain_db, ceiling_dbtp, target_lufs)


def stepped(gain_db: float) -> float:
    """The nearest whole step."""
    return round(round(gain_db / STEP_DB) * STEP_DB, 6)


def _limited_to(mix: Samples, gain_db: float, ceiling_dbtp: float, target_lufs: float) -> Levelled:
    """More and more gain into the limiter, until the loudness is there."""
    louder, limited_db, loudness = _pushed(mix, gain_db, ceiling_dbtp)
    slope = 1.0  # loudness won by gain: less where the limiter takes part of it
    for _ in range(TRIES):
        step_db = stepped((target_lufs - loudness) / slope)
        if abs(target_lufs - loudness) <= NEAR_LU or gain_db + step_db > MOST_GAIN_DB:
            break
        before = loudness
        gain_db += step_db
        louder, limited_db, loudness = _pushed(mix, gain_db, ceiling_dbtp)
        slope = min(1.0, max(LEAST_SLOPE, (loudness - before) / step_db))
    return Levelled(louder, gain_db, loudness, true_peak_dbtp(louder), limited_db)


def _pushed(mix: Samples, gain_db: float, ceiling_dbtp: float) -> tuple[Samples, float, float]:
    """Samples behind the limiter, the most it took, and their loudness."""
    louder = np.ascontiguousarray(mix * np.float32(amplitude(gain_db)), np.float32)
    limited_db = limit(louder, ceiling_dbtp)
    return louder, limited_db, integrated_lufs(louder)


def limit(samples: Samples, ceiling_dbtp: float) -> float:
    """Takes samples down, in place, to a true peak at or below the ceiling; gives the most that was
    taken, in dB."""
    columns = as_columns(samples)
    ceiling = amplitude(ceiling_dbtp - _SAFETY_DB)
    needed = needed_gain(columns, taps(), ceiling)
    lowest = float(needed.min(initial=1.0))
    if lowest >= 1:
        return 0.0
    # The lowest gain needed within AHEAD samples, held, let go, and averaged over the same AHEAD:
    # at the peak the average covers held samples only, so it has arrived there.
    held = minimum_filter1d(needed, AHEAD + 1, origin=-(AHEAD // 2), mode="nearest")
    let_go = released(held, 1 / (RELEASE_S * RATE_HZ))
    gain = uniform_filter1d(let_go, AHEAD + 1, origin=AHEAD // 2, mode="nearest")
    columns *= np.minimum(gain, 1.0)[:, None]
    return -20 * float(np.log10(lowest))
