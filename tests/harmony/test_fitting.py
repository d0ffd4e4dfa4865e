"""What fits a chord, on a C harp in cross position."""

import pytest

from reedwright.harmony.fitting import fitting_chord, nearest_tone, token_of
from reedwright.harp.harp import harp_named
from reedwright.harp.note import parse_note
from reedwright.tune.chords import parse_chord
from reedwright.tune.tokens import parse_sound

C = harp_named("C")


@pytest.mark.parametrize(
    ("token", "chord", "fits"),
    [
        ("1+2+3d", "I7", "1+2+3d"),
        ("1+2+3d", "IV7", "1+2+3b"),
        ("2+3+4+5d", "IV7", "2+3+4+5b"),
        ("1+2+3d", "V7", "1+4d"),
        ("1+2+3+4d", "V7", "1+4d"),
        ("1+2+3b", "I7", "1+2+3d"),
    ],
)
def test_the_chord_that_fits(token: str, chord: str, fits: str) -> None:
    # Source: docs/facts.md, L and D: blow under the IV chord; of the V chord only 1d and 1+4d.
    found = fitting_chord(C, parse_sound(token).notes, parse_chord(chord, 7))
    assert token_of(found) == fits


@pytest.mark.parametrize(
    ("note", "chord", "nearest"),
    [("3d", "IV7", "3d'"), ("4d", "IV7", "4b"), ("2d'", "I7", "2d"), ("8b'", "IV7", "8b")],
)
def test_the_nearest_tone(note: str, chord: str, nearest: str) -> None:
    assert str(nearest_tone(C, parse_note(note), parse_chord(chord, 7))) == nearest
