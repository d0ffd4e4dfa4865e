"""Notes of the band are checked when they are made."""

from fractions import Fraction
from math import nan
from typing import Any

import pytest

from reedwright.band.values import BandNote, Part

GOOD: dict[str, Any] = {
    "part": Part.BASS, "start": Fraction(7, 2), "length": Fraction(1, 2), "midi": 40,
    "velocity": 0.5, "chorus": 1, "bar": 1, "split": 2,
}  # fmt: skip


def test_a_note_ends_where_its_length_says() -> None:
    assert BandNote(**GOOD).end == 4


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("midi", -1), ("midi", 128), ("velocity", 0.0), ("velocity", 1.01), ("velocity", nan),
        ("length", Fraction(0)), ("length", Fraction(-1)), ("split", 0), ("end_split", 0),
    ],
)  # fmt: skip
def test_what_cannot_be_played_is_no_note(name: str, value: object) -> None:
    with pytest.raises(ValueError, match="no note of the band"):
        BandNote(**{**GOOD, name: value})
