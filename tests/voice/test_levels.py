"""Breath to pressure and level, and the filter between reeds and lips."""

import numpy as np
import pytest

from reedwright.performance.habits import BREATH
from reedwright.tune.marks import Loudness
from reedwright.voice.air import AIR_DBFS, air
from reedwright.voice.body import corners_hz, gain_at, through_body
from reedwright.voice.levels import breath_of, pressures, wanted_rms
from reedwright.voice.segments import segments
from reedwright.voice.values import SAMPLE_HZ
from tests.voice.builders import held
from tests.voice.measures import dbfs


@pytest.mark.parametrize(
    ("loudness", "level_dbfs"),
    [(Loudness.SOFT, -28), (Loudness.MEDIUM, -20), (Loudness.LOUD, -13)],
)
def test_the_level_of_a_loudness(loudness: Loudness, level_dbfs: float) -> None:
    level = 20 * np.log10(wanted_rms(np.array([BREATH[loudness]]))[0])
    assert level == pytest.approx(level_dbfs, abs=0.2)


def test_pressure_rises_with_breath_and_back() -> None:
    breath = np.linspace(0.01, 1, 50)
    pressure = pressures(breath)
    assert (np.diff(pressure) > 0).all()
    assert pressures(np.array([0.0, 0.5])).tolist() == [0.0, 1.0]
    assert [breath_of(float(p)) for p in pressure] == pytest.approx(breath.tolist())


@pytest.mark.parametrize("hertz", [100.0, 440.0, 2_700.0, 9_000.0, 15_000.0])
@pytest.mark.parametrize("corner_hz", [700.0, 1_900.0, 6_000.0])
def test_the_gain_worked_out_is_the_gain_measured(hertz: float, corner_hz: float) -> None:
    """A tone through the filter itself, against the formula."""
    tone = np.sin(2 * np.pi * hertz * np.arange(SAMPLE_HZ) / SAMPLE_HZ)
    out = through_body(tone.copy(), np.full(1_001, corner_hz))
    measured = dbfs(out[SAMPLE_HZ // 2 :]) - dbfs(tone[SAMPLE_HZ // 2 :])
    worked_out = 20 * np.log10(gain_at(np.array([hertz]), corner_hz)[0])
    assert measured == pytest.approx(worked_out, abs=0.05)


def test_a_tongue_block_is_darker() -> None:
    breath = np.array([0.34, 0.5, 0.7])
    assert (corners_hz(breath, True) < corners_hz(breath, False)).all()


def test_the_breath_hisses_at_its_level_and_more_where_the_tongue_starts_it() -> None:
    (segment,) = segments(held(["4d"], tempo=60))
    hiss = air(segment, np.full(segment.blocks + 1, 0.5))
    assert dbfs(hiss[9_600:]) == pytest.approx(AIR_DBFS, abs=0.5)
    assert dbfs(hiss[:480]) > AIR_DBFS + 6
