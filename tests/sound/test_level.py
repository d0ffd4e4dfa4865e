"""A mix reaches its loudness and keeps below its ceiling, without sounding squashed."""

from __future__ import annotations

import numpy as np
import pytest

from reedwright.sound.level import AHEAD, STEP_DB, TARGET_LUFS, levelled, limit
from reedwright.sound.loudness import integrated_lufs, true_peak_dbtp
from reedwright.sound.signal import SoundError

RATE_HZ = 48_000


def music(seconds: float = 4, knocks: float = 0.0, seed: int = 3) -> np.ndarray:
    """Noise of some loudness with short knocks in it."""
    dice = np.random.default_rng(seed)
    sound = 0.02 * dice.standard_normal((round(seconds * RATE_HZ), 2))
    for start in range(1_000, len(sound) - 600, RATE_HZ // 3):
        sound[start : start + 400] += (
            knocks * np.hanning(400)[:, None] * np.sin(np.arange(400)[:, None] * 0.4)
        )
    return sound.astype(np.float32)


@pytest.mark.parametrize("gain", [0.05, 0.3, 1.0, 20.0])
def test_plain_gain_where_peaks_allow_it(gain: float) -> None:
    ready = levelled(music() * np.float32(gain))
    assert ready.limited_db == 0
    assert integrated_lufs(ready.samples) == pytest.approx(TARGET_LUFS, abs=STEP_DB / 2 + 0.01)
    assert ready.gain_db / STEP_DB == pytest.approx(round(ready.gain_db / STEP_DB), abs=1e-6)
    assert ready.lufs == pytest.approx(integrated_lufs(ready.samples), abs=1e-3)
    assert ready.true_peak_dbtp == pytest.approx(true_peak_dbtp(ready.samples), abs=1e-2)


@pytest.mark.parametrize("knocks", [0.3, 0.6, 1.5])
@pytest.mark.parametrize("ceiling_dbtp", [-1.0, -3.0])
def test_peaks_are_limited_and_the_loudness_kept(knocks: float, ceiling_dbtp: float) -> None:
    ready = levelled(music(knocks=knocks), ceiling_dbtp)
    assert ready.limited_db > 0
    assert integrated_lufs(ready.samples) == pytest.approx(TARGET_LUFS, abs=0.3)
    assert true_peak_dbtp(ready.samples) <= ceiling_dbtp


def test_the_limiter_leaves_alone_what_is_far_from_a_peak() -> None:
    sound = music()
    sound[50_000] = 1.2
    out = sound.copy()
    taken_db = limit(out, -1.0)
    assert taken_db > 1
    before = slice(0, 50_000 - 2 * AHEAD)
    assert np.array_equal(out[before], sound[before])
    late = slice(50_000 + RATE_HZ, None)
    assert np.abs(out[late] / sound[late] - 1).max() < 1e-3


def test_the_limiter_falls_and_comes_back_without_a_step() -> None:
    steady = np.full((RATE_HZ, 1), 0.5, np.float32)
    steady[20_000:20_050] = 0.95
    out = steady.copy()
    limit(out, -3.0)
    gain = out[:, 0] / steady[:, 0]
    assert np.abs(np.diff(gain)).max() < 2 / AHEAD
    assert gain.min() == pytest.approx(10 ** (-3.02 / 20) / 0.95, rel=0.08)


def test_one_channel_stays_one() -> None:
    assert levelled(music(knocks=1.0)[:, 0]).samples.ndim == 1


def test_silence_stays_silence() -> None:
    ready = levelled(np.zeros((RATE_HZ, 2), np.float32))
    assert ready.gain_db == 0
    assert not ready.samples.any()


def test_infinity_is_named() -> None:
    sound = music()
    sound[3] = np.inf
    with pytest.raises(SoundError, match="stage `mix`: sample 3"):
        levelled(sound)
