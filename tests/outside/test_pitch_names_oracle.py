"""Spelled pitches against music21 (BSD), which knows letters, accidentals and key signatures."""

import warnings

import pytest

from reedwright.harp.pitch import KEYS, fifths_of, pitch_class, spell

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from music21 import key, pitch


def in_music21(name: str) -> pitch.Pitch:
    return pitch.Pitch(name.replace("b", "-"))


@pytest.mark.parametrize("fifths", range(-6, 7))
@pytest.mark.parametrize("minor", [False, True])
def test_every_name_sounds_its_midi_number(fifths: int, minor: bool) -> None:
    for midi in range(12, 120):
        assert in_music21(spell(midi, fifths, minor)).midi == midi


@pytest.mark.parametrize("fifths", range(-6, 7))
def test_the_notes_of_a_key_carry_its_signature(fifths: int) -> None:
    scale = {tone.name for tone in key.KeySignature(fifths).getScale("major").getPitches()}
    steps = [(7 * fifths + step) % 12 for step in (0, 2, 4, 5, 7, 9, 11)]
    assert {in_music21(spell(60 + step, fifths)).name for step in steps} == scale


@pytest.mark.parametrize("name", KEYS)
def test_signatures(name: str) -> None:
    sharps = key.Key(name.replace("b", "-")).sharps
    assert fifths_of(name) == sharps
    relative = key.Key(name.replace("b", "-")).relative.tonic
    assert fifths_of(relative.name.replace("-", "b"), minor=True) in (sharps, sharps - 12)
    assert pitch_class(name) == in_music21(name).pitchClass
