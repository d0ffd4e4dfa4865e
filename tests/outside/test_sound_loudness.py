"""The loudness meter against signals and meters that are not ours.

Sources: EBU Tech 3341 (synthetic signals and their readings, ±0.1 LU; true peak +0.2 / −0.4 dB),
ITU-R BS.1770 (997 Hz at full scale in one channel reads −3.01), pyloudnorm (another
implementation), a Fourier interpolation by scipy for true peaks.
"""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from scipy.signal import resample

from reedwright.sound.loudness import integrated_lufs, true_peak_dbtp

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import pyloudnorm

RATE_HZ = 48_000


def tone(level_dbfs: float, seconds: float, hertz: float = 1_000.0) -> np.ndarray:
    """A stereo sine with this peak level in both channels."""
    time_s = np.arange(round(seconds * RATE_HZ)) / RATE_HZ
    wave = 10 ** (level_dbfs / 20) * np.sin(2 * np.pi * hertz * time_s)
    return np.stack([wave, wave], axis=1).astype(np.float32)


@pytest.mark.parametrize(
    ("parts", "reading_lufs"),
    [  # EBU Tech 3341, cases 1, 2, 3, 4 and 5 (integrated)
        ([(-23, 20)], -23.0),
        ([(-33, 20)], -33.0),
        ([(-36, 10), (-23, 60), (-36, 10)], -23.0),
        ([(-72, 10), (-36, 10), (-23, 60), (-36, 10), (-72, 10)], -23.0),
        ([(-26, 20), (-20, 20.1), (-26, 20)], -23.0),
    ],
)
def test_signals_of_tech_3341(parts: list[tuple[float, float]], reading_lufs: float) -> None:
    sound = np.concatenate([tone(level, seconds) for level, seconds in parts])
    assert integrated_lufs(sound) == pytest.approx(reading_lufs, abs=0.1)


def test_997_hertz_at_full_scale_in_one_channel() -> None:
    assert integrated_lufs(tone(0, 20, 997)[:, 0]) == pytest.approx(-3.01, abs=0.01)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("channels", [1, 2])
def test_another_meter_reads_the_same(seed: int, channels: int) -> None:
    dice = np.random.default_rng(seed)
    sound = 0.1 * dice.standard_normal((RATE_HZ * 8, channels))
    sound *= np.repeat(dice.uniform(0.01, 1, 16), RATE_HZ // 2)[:, None]  # loud and soft stretches
    ours = integrated_lufs(sound.astype(np.float32))
    # Its filter comes from a formula, ours from the table of the recommendation: 0.05 LU on noise.
    assert ours == pytest.approx(pyloudnorm.Meter(RATE_HZ).integrated_loudness(sound), abs=0.1)


@pytest.mark.parametrize(
    ("divisor", "degrees", "peak", "reading_dbtp"),
    [  # EBU Tech 3341, cases 15 to 19
        (4, 0.0, 0.50, -6.0),
        (4, 45.0, 0.50, -6.0),
        (6, 60.0, 0.50, -6.0),
        (8, 67.5, 0.50, -6.0),
        (4, 45.0, 1.41, 3.0),
    ],
)
def test_true_peaks_of_tech_3341(
    divisor: int, degrees: float, peak: float, reading_dbtp: float
) -> None:
    n = np.arange(RATE_HZ)
    edge = np.clip(np.minimum(n, n[::-1]) / 2_400, 0, 1)  # a soft start, as the test signals have
    wave = edge * peak * np.sin(2 * np.pi * n / divisor + np.radians(degrees))
    measured = true_peak_dbtp(wave.astype(np.float32))
    assert reading_dbtp - 0.4 <= measured <= reading_dbtp + 0.2


@pytest.mark.parametrize("seed", range(4))
def test_true_peaks_of_noise_by_fourier_interpolation(seed: int) -> None:
    dice = np.random.default_rng(seed)
    spectrum = np.fft.rfft(dice.standard_normal(4_800))
    spectrum[1_900:] = 0  # 19 kHz: what the taps pass
    wave = np.fft.irfft(spectrum) * np.hanning(4_800)
    wave = (0.5 * wave / np.abs(wave).max()).astype(np.float32)
    oracle = 20 * np.log10(np.abs(resample(wave.astype(float), 4_800 * 64)).max())
    assert true_peak_dbtp(wave) == pytest.approx(oracle, abs=0.1)
