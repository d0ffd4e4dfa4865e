"""Pitch over a note: scoops, dips, slurs, throat vibrato and falls. Figures: our own, `habits`."""

from itertools import pairwise

import pytest

from reedwright.performance.pitchline import pitch_line
from reedwright.performance.playing import Attack
from tests.performance.playtunes import note_of, samples


@pytest.mark.parametrize(
    ("token", "start", "reached_s"),
    [
        ("4d", -12, 0.025),
        ("4d'", -35, 0.045),
        ("4bo", -30, 0.045),  # an overbend does not go lower
        ("/4d", -100, 0.12),
        ("//3d", -200, 0.12),
        ("/4d'", -75, 0.12),  # a semitone lower than 4d' the hole has nothing
        ("/5d", -75, 0.12),
        ("/4b", -15, 0.12),  # the lower reed cannot be dipped
        ("/////3d", -375, 0.12),
    ],
)
def test_how_a_note_comes_in(token: str, start: float, reached_s: float) -> None:
    line = pitch_line(note_of(token))
    assert line.at(0) == pytest.approx(start)
    values = samples(line, 1.0)
    assert values == sorted(values)
    assert line.at(reached_s - 0.002) < 0
    assert line.at(reached_s) == line.at(1.0) == 0


def test_a_short_note_reaches_its_pitch_in_a_third() -> None:
    line = pitch_line(note_of("/4d", 0.06))
    assert line.at(0.019) < 0 == line.at(0.02)


@pytest.mark.parametrize(("from_cents", "start"), [(100, 100), (-100, -75), (300, 100)])
def test_a_slur_glides_one_way(from_cents: float, start: float) -> None:
    line = pitch_line(note_of("4d'", attack=Attack.SLUR, from_cents=from_cents))
    values = samples(line, 1.0)
    assert values[0] == start
    assert values in (sorted(values), sorted(values, reverse=True))
    assert line.at(0.069) != 0 == line.at(0.07)


@pytest.mark.parametrize(("token", "end"), [("3d\\\\", -200), ("4d\\\\\\", -175), ("4b\\", -15)])
def test_a_fall_ends_the_note(token: str, end: float) -> None:
    line = pitch_line(note_of(token))
    assert line.at(0.82) == 0
    values = samples(line, 1.0)[820:]
    assert values == sorted(values, reverse=True)
    assert line.at(1.0) == pytest.approx(end)


@pytest.mark.parametrize(("token", "hz"), [("3dv", 5.0), ("3dv@3", 3.0), ("3dv@16", 16.0)])
def test_throat_vibrato_lies_below_the_note_and_grows(token: str, hz: float) -> None:
    values = samples(pitch_line(note_of(token, 4.0)), 4.0)
    assert max(values[100:225]) == 0 == min(values[100:225])
    later = values[1000:4000]
    assert min(later) == pytest.approx(-40, abs=1.4)
    assert max(later) == pytest.approx(0, abs=1.4)
    assert min(values[230:400]) > -30
    assert _turns(later) == pytest.approx(3 * hz, abs=1)


def _turns(values: list[float]) -> int:
    """How often a curve passes its middle downwards."""
    middle = (max(values) + min(values)) / 2
    return sum(a >= middle > b for a, b in pairwise(values))


def test_a_vibrato_goes_no_lower_than_the_note() -> None:
    assert min(samples(pitch_line(note_of("4bv", 2.0)), 2.0)) == pytest.approx(-15, abs=0.6)


def test_a_fall_takes_over_from_a_vibrato() -> None:
    line = pitch_line(note_of("3dv\\", 2.0))
    values = samples(line, 2.0)
    assert line.at(2.0) == pytest.approx(-100)
    # The steepest is the glide: 100 cents in 180 ms along half a cosine, pi/2 times the mean.
    assert max(abs(a - b) for a, b in pairwise(values[50:])) < 1.2
