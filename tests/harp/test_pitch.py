"""Names of pitches and keys."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import HarpError
from reedwright.harp.pitch import (
    KEYS,
    fifths_of,
    frequency_hz,
    harp_key,
    parse_pitch,
    pitch_class,
    shown,
    spell,
)


@pytest.mark.parametrize(
    ("one", "other"), [("F#", "Gb"), ("C#", "Db"), ("B♭", "A#"), ("cb", "B"), ("E#", "f")]
)
def test_enharmonic_keys_are_one_key(one: str, other: str) -> None:
    assert pitch_class(one) == pitch_class(other)


def test_the_twelve_keys_are_their_own_names() -> None:
    assert [harp_key(pitch_class(key)) for key in KEYS] == list(KEYS)
    assert sorted(map(pitch_class, KEYS)) == list(range(12))


@pytest.mark.parametrize("text", ["H", "", "A##", "Am", "A 7", "é", "A" * 5000, "\x00"])
def test_other_keys_are_refused(text: str) -> None:
    with pytest.raises(HarpError) as caught:
        pitch_class(text)
    assert len(str(caught.value)) < 250
    assert str(caught.value).endswith("Mend: write one of G, Ab, A, Bb, B, C, Db, D, Eb, E, F, F#.")


@given(st.integers(0, 127), st.integers(-6, 6), st.booleans(), st.booleans())
def test_a_spelled_pitch_reads_back(midi: int, fifths: int, minor: bool, flat_five: bool) -> None:
    name = spell(midi, fifths, minor, flat_five)
    assert parse_pitch(name) == midi or midi in (0, 127)  # B#-2 lies outside what is read
    assert "##" not in name
    assert "bb" not in name


@pytest.mark.parametrize(
    ("fifths", "minor", "scale"),
    [
        (0, False, "C Db D Eb E F F# G Ab A Bb B"),
        (1, False, "C C# D Eb E F F# G Ab A Bb B"),
        (-1, True, "C C# D Eb E F F# G G# A Bb B"),
        (6, False, "C C# D D# E E# F# G G# A A# B"),
        (-6, True, "C Db D Eb E F Gb G Ab A Bb Cb"),
    ],
)
def test_the_notes_between_the_scale_follow_the_key(fifths: int, minor: bool, scale: str) -> None:
    names = [spell(midi, fifths, minor).rstrip("0123456789") for midi in range(60, 72)]
    assert " ".join(names) == scale


def test_the_octave_follows_the_letter() -> None:
    assert spell(71, -6) == "Cb5"
    assert spell(66, flat_five=True) == "Gb4"


def test_minor_keys_have_the_signature_of_their_relative() -> None:
    assert [fifths_of(key, minor=True) for key in ("A", "D", "G", "C", "E", "F#", "Eb")] == [
        *(0, -1, -2, -3, 1, 3, -6)
    ]


@pytest.mark.parametrize("text", ["C", "C10", "H4", "C-2", "4C", "C4 4", "C" + "9" * 400])
def test_what_is_no_pitch_is_refused(text: str) -> None:
    with pytest.raises(HarpError, match="is not a pitch"):
        parse_pitch(text)


@given(st.floats(0, 115), st.floats(400, 480))
def test_an_octave_doubles_the_frequency(midi: float, a4_hz: float) -> None:
    assert math.isclose(frequency_hz(midi + 12, a4_hz), 2 * frequency_hz(midi, a4_hz))


@given(st.text(max_size=200))
def test_quoted_text_is_short_and_printable(text: str) -> None:
    quoted = shown(text)
    assert quoted.isprintable()
    assert len(quoted) <= 2 * 40 + 4  # a backslash doubles
