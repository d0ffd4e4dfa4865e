"""Harps by name, their pitches and what they refuse."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import HarpError
from reedwright.harp.harp import Harp, Variant, harp_named, parse_harp_name
from reedwright.harp.note import TabNote, parse_note
from reedwright.harp.pitch import KEYS, frequency_hz, pitch_class
from reedwright.harp.tuning import Tuning, tuning_named
from tests.strategies_harp import harp_and_note, named_harps


@given(named_harps())
def test_a_harp_is_found_by_its_own_name(harp: Harp) -> None:
    assert harp_named(harp.name) == harp


@pytest.mark.parametrize(
    ("text", "key", "variant"),
    [
        ("A", "A", "standard"),
        ("low D", "D", "low"),
        ("  LOW   f ", "F", "low"),
        ("Gb", "F#", "standard"),
        ("high g", "G", "high"),
        ("D low", "D", "low"),
        ("b♭", "Bb", "standard"),
    ],
)
def test_names(text: str, key: str, variant: str) -> None:
    assert parse_harp_name(text) == (key, variant)


@pytest.mark.parametrize(
    "text", ["", "H", "low", "low low D", "low D high", "A natural minor", "Am", "A" * 10**6]
)
def test_other_names_are_refused(text: str) -> None:
    with pytest.raises(HarpError) as caught:
        parse_harp_name(text)
    assert str(caught.value).endswith(
        "is not a harp. A harp is named by its key, with `low` or `high` before it where it "
        "applies. Mend: write it like A, Bb, low D or high G."
    )


def test_a_tuning_is_given_once() -> None:
    assert harp_named("low D", "country") == harp_named("low D country")
    with pytest.raises(HarpError, match="is not a harp"):
        harp_named("A natural minor", "country")


@pytest.mark.parametrize("a4_hz", [math.nan, math.inf, -440.0, 0.0, 399.9, 480.1])
def test_reference_pitches_out_of_range_are_refused(a4_hz: float) -> None:
    with pytest.raises(HarpError, match=r"The reference pitch lies between 400 and 480 Hz"):
        Harp("C", tuning_named("Richter"), a4_hz=a4_hz)


def test_reeds_beyond_midi_are_refused() -> None:
    tuning = Tuning("tall", (0, 4, 7, 60), (2, 7, 11, 14))
    assert Harp("C", tuning).midi(parse_note("4b")) == 120
    with pytest.raises(HarpError) as caught:
        Harp("C", tuning, Variant.HIGH)
    assert str(caught.value) == (
        "the high C tall harp with notes from MIDI 67 to 134. MIDI numbers run from 0 to 127. "
        "Mend: take the usual register, or reeds nearer to the key note."
    )


def test_a_missing_note_is_refused_in_words() -> None:
    with pytest.raises(HarpError) as caught:
        harp_named("A natural minor").midi(parse_note("2d''''"))
    assert str(caught.value) == (
        "no 2d'''' on the A natural minor harp. 2 draw bends 3 semitones at most on this harp. "
        "Mend: choose a note of the chart (`reedwright harp`)."
    )


@given(harp_and_note())
def test_every_note_has_a_pitch_and_is_found_by_it(both: tuple[Harp, TabNote]) -> None:
    harp, note = both
    assert 0 <= harp.midi(note) <= 127
    assert note in harp.places_of(harp.midi(note))


@given(harp_and_note())
def test_hertz_are_the_pitch_and_its_cents(both: tuple[Harp, TabNote]) -> None:
    harp, note = both
    tempered = harp.temperament.cents[(harp.midi(note) - harp.key_midi) % 12]
    expected = frequency_hz(harp.midi(note), harp.a4_hz) * 2 ** (tempered / 1200)
    assert math.isclose(harp.hertz(note), expected, rel_tol=1e-12)


@given(named_harps(), st.sampled_from(KEYS))
def test_another_key_moves_every_note_alike(harp: Harp, key: str) -> None:
    if "spiral" in harp.tuning.name:
        key = harp.key  # its start note is named, so it is another tuning in another key
    other = Harp(key, harp.tuning, harp.variant)
    shift = other.key_midi - harp.key_midi
    assert -11 <= shift <= 11
    assert (shift - pitch_class(key) + pitch_class(harp.key)) % 12 == 0
    assert all(other.midi(note) == harp.midi(note) + shift for note in harp.notes())


def test_places_come_natural_notes_first() -> None:
    found = [str(note) for note in harp_named("C").places_of(72)]
    assert found == ["4b", "3bo"]
    assert [str(note) for note in harp_named("C").places_of(68)] == ["3d'''", "2bo"]


def test_the_json_form() -> None:
    assert harp_named("low Db country").as_json() == {
        "key": "Db",
        "variant": "low",
        "tuning": "country",
        "a4_hz": 440.0,
        "temperament": "equal",
    }
