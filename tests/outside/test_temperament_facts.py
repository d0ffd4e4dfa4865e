"""Cents and hertz against published tables and standards; see docs/facts.md, C and G."""

import math
from fractions import Fraction

import pytest

from reedwright.harp.harp import Harp, harp_named, reference_cents
from reedwright.harp.note import parse_note
from reedwright.harp.pitch import frequency_hz
from reedwright.harp.temperament import temperament_named
from reedwright.harp.tuning import tuning_named

# Source: cents of blow C E G, draw D G B, F and A, harp in C; the 7- and 19-limit rows agree with
# Ö. Hansson's published tables, the 5-limit row is computed from its ratios.
CHORDS = {"1b": 0.0, "2b": -13.69, "3b": 1.96, "1d": 3.91, "2d": 1.96, "3d": -11.73}
TABLE = {
    "equal": dict.fromkeys([*CHORDS, "5d", "6d", "9d", "10d"], 0.0),
    "7-limit just": CHORDS | {"5d": -29.22, "9d": -29.22, "6d": 5.87, "10d": 5.87},
    "19-limit just": CHORDS | {"5d": 1.42, "9d": 1.42, "6d": 5.87, "10d": 5.87},
    "5-limit just": CHORDS | {"5d": -1.96, "9d": -1.96, "6d": -15.64, "10d": -15.64},
}


@pytest.mark.parametrize("name", TABLE)
@pytest.mark.parametrize("key", ["C", "A", "F#"])
def test_cents_of_the_reeds(name: str, key: str) -> None:
    harp = Harp(key, tuning_named("Richter"), temperament=temperament_named(name))
    for token, cents in TABLE[name].items():
        assert harp.cents(parse_note(token)) == pytest.approx(cents, abs=0.005)


# Source: the ratios of the schemes as published; the interval in hertz is the independent check.
RATIOS = {
    "7-limit just": {"2b": "5/4", "5d": "21/8", "6d": "27/8", "3d": "15/8"},
    "19-limit just": {"5d": "171/64", "6d": "27/8"},
    "5-limit just": {"5d": "8/3", "6d": "10/3"},
}


@pytest.mark.parametrize("name", RATIOS)
def test_just_intervals_in_hertz(name: str) -> None:
    harp = Harp("D", tuning_named("Richter"), temperament=temperament_named(name), a4_hz=442)
    root = harp.hertz(parse_note("1b"))
    for token, ratio in RATIOS[name].items():
        assert math.isclose(harp.hertz(parse_note(token)) / root, Fraction(ratio), rel_tol=1e-12)


# Source: ISO 16:1975 for 440 Hz; the others computed as 1200·log2(A4/440).
@pytest.mark.parametrize(
    ("a4_hz", "cents"), [(440, 0.0), (441, 3.93), (442, 7.85), (443, 11.76), (444, 15.67)]
)
def test_reference_pitches(a4_hz: float, cents: float) -> None:
    assert reference_cents(a4_hz) == pytest.approx(cents, abs=0.005)
    a_harp = Harp("A", tuning_named("Richter"), a4_hz=a4_hz)
    assert a_harp.hertz(parse_note("4b")) == pytest.approx(a4_hz)


# Source: MIDI Tuning Standard, f = 440·2^((n−69)/12).
@pytest.mark.parametrize(
    ("midi", "hertz"), [(0, 8.1758), (60, 261.6256), (69, 440.0), (127, 12543.854)]
)
def test_midi_frequencies(midi: int, hertz: float) -> None:
    assert frequency_hz(midi) == pytest.approx(hertz, rel=1e-6, abs=5e-5)


def test_a_bent_note_aims_at_the_scale_of_its_harp() -> None:
    # Common practice, no source: 3 draw bent a whole tone is the sixth, in tune with 6 draw.
    harp = Harp("C", tuning_named("Richter"), temperament=temperament_named("5-limit just"))
    low, high = harp.hertz(parse_note("3d''")), harp.hertz(parse_note("6d"))
    assert high / low == pytest.approx(2.0, rel=1e-12)
    assert harp_named("C").cents(parse_note("3d''")) == 0.0
