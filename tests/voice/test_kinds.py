"""The table of solved holes, and the choice between model and wavetable."""

from importlib.resources import files

import numpy as np
import pytest

from reedwright.harp.harp import harp_named
from reedwright.harp.pitch import KEYS
from reedwright.performance.playing import Curve, level
from reedwright.voice.choice import played_by_model
from reedwright.voice.holes import hole_of, target_cents
from reedwright.voice.kinds import kind_of, kinds
from reedwright.voice.values import MOST_INTERVAL, SAMPLE_HZ, Hole
from reedwright.voice.wave import HIGHEST_HZ, detune_cents, wave

HELD = Curve((0.0, 0.01, 1.0), (0.0, 0.5, 0.5))


def test_there_is_a_kind_for_every_interval() -> None:
    every = range(-MOST_INTERVAL, MOST_INTERVAL + 1)
    assert {interval for interval, over in kinds() if not over} == set(every)
    assert {interval for interval, over in kinds() if over} == set(range(1, MOST_INTERVAL + 1))


def test_depths_rise_and_reach_where_bends_go() -> None:
    for (interval, over), kind in kinds().items():
        assert (np.diff(kind.cents) > 0).all()
        assert kind.waves.shape == (len(kind.cents), len(kind.pressures), 64)
        if over:
            assert kind.cents[-1] == 100 * (interval + 1)
        elif interval < 0:
            assert kind.cents[0] < 100 * interval + 25
            assert kind.cents[-1] == 0


@pytest.mark.parametrize("key", KEYS)
def test_the_model_plays_every_note_of_a_usual_harp(key: str) -> None:
    harp = harp_named(key)
    for note in harp.notes():
        assert played_by_model(hole_of(harp, note), level(target_cents(harp, note)), HELD), note


@pytest.mark.parametrize("name", ["natural minor", "harmonic minor", "country", "solo", "spiral"])
def test_other_tunings_and_registers_find_their_holes(name: str) -> None:
    for register in ("", "low "):
        harp = harp_named(f"{register}C", name)
        for note in harp.notes():
            kind = kind_of(hole_of(harp, note))
            assert kind.cents[0] - 60 <= target_cents(harp, note) <= kind.cents[-1] + 60, note


def test_the_wavetable_plays_what_the_model_does_not() -> None:
    hole = Hole(440.0, 2)
    assert not played_by_model(hole, level(-100.0), HELD)  # no such bend
    assert not played_by_model(Hole(5_000.0, 2), level(0.0), HELD)  # too high
    assert not played_by_model(hole, level(0.0), level(0.02))  # hardly any air
    assert not played_by_model(hole, level(0.0), level(0.0))  # none


def test_the_wavetable_keeps_below_its_highest_partial() -> None:
    """A high note swept up: nothing folds back (the legal partials lie on a known grid)."""
    hertz = 3_000.0
    kind = kind_of(Hole(hertz, -2))
    line = np.full(1_001, hertz)
    places = (np.full(1_001, len(kind.cents) - 1.0), np.full(1_001, 3.0))
    sound = wave(Hole(hertz, -2), kind, line, places, np.ones(1_001))
    power = np.abs(np.fft.rfft(sound * np.blackman(len(sound)))) ** 2
    found = np.fft.rfftfreq(len(sound), 1 / SAMPLE_HZ)
    from_partial = np.abs(found / hertz - np.round(found / hertz)) * hertz
    legal = (from_partial < 10) & (found < HIGHEST_HZ) & (found > hertz / 2)
    assert 10 * np.log10(power[~legal].max() / power[legal].max()) < -80


def test_reeds_that_sound_together_stray_a_little_each_its_own_way() -> None:
    one, other = detune_cents(Hole(440.0, -2), 5_000), detune_cents(Hole(523.25, 2), 5_000)
    for strayed in (one, other):
        assert np.abs(strayed).max() <= 3
        assert np.ptp(strayed) > 0.5
    assert np.abs(one - other).max() > 0.2


def test_the_data_says_where_it_comes_from() -> None:
    head = files("reedwright.voice").joinpath("data", "holes.toml").read_text("utf-8")[:80]
    assert "Written by tools/solve_voice.py" in head
