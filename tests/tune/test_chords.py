"""Chords by name and by degree."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import TuneError
from reedwright.tune.chords import QUALITIES, Chord, parse_chord

roots = st.integers(0, 11)
chords = st.builds(Chord, roots, st.sampled_from(list(QUALITIES)))


@given(chords, st.integers(-6, 6))
def test_names_are_read_again(chord: Chord, fifths: int) -> None:
    assert parse_chord(chord.name(fifths), key=0) == chord


@given(chords, roots)
def test_degrees_are_read_again(chord: Chord, key: int) -> None:
    assert parse_chord(chord.degree(key), key) == chord


@pytest.mark.parametrize(
    ("text", "root", "quality"),
    [
        ("A7", 9, "7"), ("Bb", 10, ""), ("F♯m7b5", 6, "m7b5"), ("D-7", 2, "m7"), ("Emin", 4, "m"),
        ("I7", 4, "7"), ("iv", 9, "m"), ("iv7", 9, "m7"), ("bVI7", 0, "7"), ("♭VII", 2, ""),
        ("V7#9", 11, "7#9"), ("viidim", 3, "dim"), ("ii7b5", 6, "m7b5"), ("i°7", 4, "dim7"),
    ],
)  # fmt: skip
def test_chords_in_e(text: str, root: int, quality: str) -> None:
    assert parse_chord(text, key=4) == Chord(root, quality)


@pytest.mark.parametrize("text", ["", "H", "a7", "A7alt", "VIII", "7", "A" + "9" * 400, "%", "|"])
def test_no_chord(text: str) -> None:
    with pytest.raises(TuneError, match="unknown chord"):
        parse_chord(text, key=0)


@pytest.mark.parametrize(("root", "quality"), [(12, ""), (-1, ""), (0, "alt")])
def test_chords_that_cannot_be(root: int, quality: str) -> None:
    with pytest.raises(TuneError, match="unknown chord"):
        Chord(root, quality)
