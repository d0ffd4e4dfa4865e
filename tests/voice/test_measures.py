"""The measures themselves, on sounds whose answers are known."""

import numpy as np
import pytest

from tests.voice.measures import (
    SAMPLE_HZ,
    attack_ms,
    centroid_hz,
    dbfs,
    edge_click_dbfs,
    pitch_hz,
)

TIME_S = np.arange(SAMPLE_HZ) / SAMPLE_HZ
SOFT_ENDS = np.minimum(1, np.minimum(TIME_S, TIME_S[::-1]) / 0.02)


def saw(hertz: float) -> np.ndarray:
    orders = np.arange(1, 12)[:, None]
    return np.asarray((np.sin(2 * np.pi * hertz * orders * TIME_S) / orders).sum(0) * 0.1)


@pytest.mark.parametrize("hertz", [98.0, 440.3, 2_093.0])
def test_pitch(hertz: float) -> None:
    assert pitch_hz(saw(hertz), hertz * 1.03) == pytest.approx(hertz, rel=1.2e-4)


def test_level_and_centroid() -> None:
    tone = 0.1 * np.sin(2 * np.pi * 1_000 * TIME_S)
    assert dbfs(tone) == pytest.approx(-23.01, abs=0.01)
    assert centroid_hz(tone + np.roll(tone, 0)) == pytest.approx(1_000, abs=1)


def test_attack() -> None:
    rising = np.minimum(1, TIME_S / 0.05) * saw(440)
    assert attack_ms(rising, 440, 9_600, 40_000) == pytest.approx(40, abs=3)


def test_a_step_is_found_at_the_start_and_inside() -> None:
    smooth = SOFT_ENDS * saw(440)
    assert edge_click_dbfs(smooth) < -60
    stepped = smooth.copy()
    stepped[150:] += 0.01
    assert edge_click_dbfs(stepped) == pytest.approx(-40, abs=1.5)
    assert edge_click_dbfs(np.concatenate([[0.01], smooth])) > -41
