"""Breath over a note. Figures: our own, `habits`."""

from itertools import pairwise

import pytest

from reedwright.performance.breathline import breath_line
from reedwright.performance.playing import Attack
from reedwright.tune.marks import Loudness
from tests.performance.playtunes import note_of, samples


@pytest.mark.parametrize("token", ["4d", "4d!", "(4d)", "4dvf\\", "/4dv@16"])
@pytest.mark.parametrize("length_s", [0.01, 0.05, 0.3, 3.0])
def test_air_comes_and_goes(token: str, length_s: float) -> None:
    line = breath_line(note_of(token, length_s))
    assert line.at(0) == 0
    assert line.at(length_s) == pytest.approx(0, abs=1e-12)
    assert max(line.values) > 0.1
    steps = [abs(a - b) for a, b in pairwise(samples(line, length_s))]
    assert max(steps, default=0) < 0.5


def test_louder_is_more_breath() -> None:
    tops = [max(breath_line(note_of("4d", loudness=loudness)).values) for loudness in Loudness]
    assert tops == sorted(tops)
    assert tops == pytest.approx([0.2, 0.34, 0.5, 0.7, 0.88])


def test_accent_and_ghost() -> None:
    plain, accent, ghost = (samples(breath_line(note_of(t)), 1.0) for t in ("4d", "4d!", "(4d)"))
    assert accent[12] / plain[12] == pytest.approx(1.25, abs=0.02)
    assert accent[500] / plain[500] == pytest.approx(1.08)
    assert ghost[500] / plain[500] == pytest.approx(0.5)


def test_a_loud_accent_has_all_the_air_there_is() -> None:
    assert max(breath_line(note_of("4d!", loudness=Loudness.VERY_LOUD)).values) == 1.0


def test_a_breath_attack_is_slower() -> None:
    tongue, breath = (
        breath_line(note_of("4d", attack=attack)) for attack in (Attack.TONGUE, Attack.BREATH)
    )
    assert tongue.at(0.012) > 0.4
    assert breath.at(0.012) < 0.2
    assert breath.at(0.041) > 0.4


def test_a_slur_keeps_the_air_on() -> None:
    going = breath_line(note_of("4d", goes_on=True))
    assert going.at(1.0) == pytest.approx(0.47)
    line = breath_line(note_of("4d'", attack=Attack.SLUR, from_breath=0.7))
    assert line.at(0) == 0.7
    assert line.at(0.07) == pytest.approx(breath_line(note_of("4d'")).at(0.07))
    assert min(samples(line, 0.98)) > 0.4


def test_throat_vibrato_swells_and_flutter_rolls() -> None:
    plain, throat, flutter = (
        samples(breath_line(note_of(token, 2.0)), 2.0)[1000:1980] for token in ("4d", "4dv", "4df")
    )
    taken = [1 - a / b for a, b in zip(throat, plain, strict=True)]
    rolled = [1 - a / b for a, b in zip(flutter, plain, strict=True)]
    assert [min(taken), max(taken)] == pytest.approx([0, 0.25], abs=0.01)
    assert max(rolled) == pytest.approx(0.6, abs=0.02)
    assert sum(a < 0.3 <= b for a, b in pairwise(rolled)) == pytest.approx(0.98 * 20, abs=1)


def test_a_fall_lets_go_of_the_air() -> None:
    line = breath_line(note_of("4d\\"))
    values = samples(line, 1.0)[820:]
    assert values == sorted(values, reverse=True)
    assert line.at(0.98) < 0.5 * line.at(0.82)
