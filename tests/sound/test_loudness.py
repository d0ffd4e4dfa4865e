"""The meter keeps to what loudness means; values from outside are in tests/outside."""

from __future__ import annotations

from math import inf, isinf

import numpy as np
import pytest

from reedwright.sound.loudness import PHASES, WIDTH, integrated_lufs, taps, true_peak_dbtp
from reedwright.sound.signal import SoundError


def noise(seconds: float, channels: int = 2, seed: int = 1) -> np.ndarray:
    shape = (round(seconds * 48_000), channels)
    return (0.05 * np.random.default_rng(seed).standard_normal(shape)).astype(np.float32)


def test_gain_is_loudness() -> None:
    sound = noise(3)
    assert integrated_lufs(sound * 2) - integrated_lufs(sound) == pytest.approx(6.0206, abs=1e-3)
    assert true_peak_dbtp(sound * 2) - true_peak_dbtp(sound) == pytest.approx(6.0206, abs=1e-3)


def test_two_equal_channels_are_three_decibels_louder_than_one() -> None:
    one = noise(3, 1)[:, 0]
    both = np.stack([one, one], axis=1)
    assert integrated_lufs(both) - integrated_lufs(one) == pytest.approx(3.0103, abs=1e-3)


def test_long_silence_does_not_count() -> None:
    sound = noise(4)
    padded = np.concatenate([sound, np.zeros((48_000 * 20, 2), np.float32)])
    assert integrated_lufs(padded) == pytest.approx(integrated_lufs(sound), abs=0.2)


def test_filtering_in_spans_changes_nothing() -> None:
    long = noise(23)  # more than two spans
    pieces = [integrated_lufs(long[start : start + 48_000 * 11]) for start in (0, 48_000 * 11)]
    assert min(pieces) - 0.05 <= integrated_lufs(long) <= max(pieces) + 0.05


@pytest.mark.parametrize("samples", [1, 100, 4_799, 19_199])
def test_a_short_sound_counts_as_if_silence_followed(samples: int) -> None:
    sound = noise(1)[:samples]
    padded = np.concatenate([sound, np.zeros((19_200 - samples, 2), np.float32)])
    assert integrated_lufs(sound) == pytest.approx(integrated_lufs(padded), abs=0.2)


def test_no_sound_at_all() -> None:
    assert integrated_lufs(np.zeros((0, 2), np.float32)) == -inf
    assert true_peak_dbtp(np.zeros(0, np.float32)) == -inf


def test_silence() -> None:
    quiet = np.zeros((48_000, 2), np.float32)
    assert isinf(integrated_lufs(quiet))
    assert isinf(true_peak_dbtp(quiet))


def test_what_is_no_number_is_named_with_its_stage() -> None:
    sound = noise(1)
    sound[7, 1] = np.nan
    with pytest.raises(SoundError) as caught:
        integrated_lufs(sound)
    assert str(caught.value) == "Sound, stage `loudness`: sample 7 is no finite number."
    with pytest.raises(SoundError, match="true peak"):
        true_peak_dbtp(sound)


def test_three_channels_are_refused() -> None:
    with pytest.raises(SoundError, match="not of one or two channels"):
        integrated_lufs(np.zeros((10, 3), np.float32))


def test_the_taps_pass_samples_and_steady_levels() -> None:
    rows = taps()
    assert rows.shape == (PHASES, WIDTH)
    assert np.allclose(rows.sum(1), 1)
    unit = np.zeros(WIDTH)
    unit[WIDTH // 2 - 1] = 1
    assert np.allclose(rows[0], unit, atol=1e-6)


def test_a_peak_is_never_below_the_largest_sample() -> None:
    for seed in range(5):
        sound = noise(0.2, seed=seed)
        assert true_peak_dbtp(sound) >= 20 * np.log10(np.abs(sound).max()) - 1e-4
