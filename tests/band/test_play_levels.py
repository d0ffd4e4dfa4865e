"""Levels between the parts of the band, whole tunes of every style the rules hold.

The meter is pyloudnorm's (ITU-R BS.1770), not ours; the bounds are ours (docs/band-sounds.md).
"""

from fractions import Fraction
from functools import cache

import numpy as np
import pyloudnorm
import pytest

from reedwright.band.arrange import arrange
from reedwright.band.instruments.values import RATE_HZ
from reedwright.band.play import band_stems
from reedwright.band.values import Options
from reedwright.performance.perform import perform
from reedwright.tune.place import place
from reedwright.tune.read import read_tune

TARGET_LUFS = {"drums": -22.5, "bass": -22.5, "guitar": -26.5, "keys": -26.5}
WITHIN_LU = 2.0

TUNES = {
    "slow": ("straight", "12/8", 60, "12-bar quick change"),
    "minor": ("straight", "12/8", 66, "12-bar minor"),
    "shuffle": ("shuffle", "4/4", 112, "12-bar"),
    "train": ("straight", "4/4", 168, "16-bar"),
    "straight": ("straight", "4/4", 116, "8-bar"),
    "rumba": ("straight", "4/4", 108, "12-bar minor"),
}


@cache
def stems(style: str) -> dict[str, np.ndarray]:
    feel, meter, tempo, form = TUNES[style]
    text = f"""\
Title: Level
Harp: A
Position: 2
Feel: {feel}
Meter: {meter}
Tempo: {tempo}
Form: {form}

Lick Call
1: 3d 4d 5d 4d

Chorus
1 Call
"""
    score = place(read_tune(text))
    band = arrange(score, seed=3, options=Options(style=style))
    return band_stems(band, perform(score, Fraction(tempo)))


@pytest.mark.slow
@pytest.mark.parametrize("style", TUNES)
def test_every_part_stands_where_it_should(style: str) -> None:
    meter = pyloudnorm.Meter(RATE_HZ)
    for part, stem in stems(style).items():
        loudness = meter.integrated_loudness(stem.astype(float))
        assert loudness == pytest.approx(TARGET_LUFS[part], abs=WITHIN_LU), part


@pytest.mark.slow
@pytest.mark.parametrize("style", TUNES)
def test_the_mix_has_headroom_and_no_part_hides_the_others(style: str) -> None:
    parts = stems(style)
    mix = np.sum([*parts.values()], axis=0)
    meter = pyloudnorm.Meter(RATE_HZ)
    assert -22 < meter.integrated_loudness(mix.astype(float)) < -16
    assert np.abs(mix).max() < 10 ** (3 / 20)  # limited later, by little
    assert np.abs(mix.mean(axis=0)).max() < 1e-4
