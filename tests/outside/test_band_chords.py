"""The band's notes against facts of harmony that are not ours.

Sources: music21 10.5 spells the chords (its own tables, no code of ours); the colours a chord may
take besides (sixth, ninth, eleventh, thirteenth), a walking bass that reaches the next root by a
step or a fifth, and 12/8 being exactly a 2:1 shuffle: common practice, no source. Standard tuning
of a four-string bass, its lowest string E1: common practice, no source. General MIDI 1: percussion
keys 35 to 81, program numbers.
"""

from fractions import Fraction

import pytest
from music21 import harmony

from reedwright.band.arrange import arrange
from reedwright.band.midi import BASS, GUITAR, PROGRAMS
from reedwright.band.rulesfile import rules
from reedwright.band.timing import timed_notes
from reedwright.band.values import Arrangement, Keys, Options, Part
from reedwright.performance.perform import perform
from tests.band.tunes import score

SYMBOLS = {
    "": "A", "m": "Am", "5": "Apower", "6": "A6", "m6": "Am6", "7": "A7", "m7": "Am7",
    "maj7": "Amaj7", "9": "A9", "m9": "Am9", "13": "A13", "7#9": "A7 add #9", "sus4": "Asus",
    "7sus4": "A7sus", "dim": "Adim", "dim7": "Ao7", "m7b5": "Aø7", "aug": "A+", "7#5": "A7+",
}  # fmt: skip
COLOURS = {2, 5, 9}  # ninth, eleventh, sixth or thirteenth above the root
RUBS = ((4, 5), (10, 9))  # a chord note and the colour a semitone from it, which is none


def spelled(quality: str) -> set[int]:
    """Semitones above the root, as music21 has them."""
    return {(pitch.midi - 9) % 12 for pitch in harmony.ChordSymbol(SYMBOLS[quality]).pitches}


def played(quality: str, part: Part) -> list[tuple[Fraction, int]]:
    """Beat in the bar and semitones above the root of all a part plays over one chord, the key's
    own (a D harp in second position sounds in A), before the band's ending."""
    made = arrange(score(" | ".join([f"A{quality}"] * 4), harp="D", choruses=6))
    notes = [note for note in made.notes[part] if note.start < 4 * 23]
    return [(note.start % 4, (note.midi - 9) % 12) for note in notes]


@pytest.mark.parametrize("quality", list(SYMBOLS))
def test_the_bass_bears_the_chord_on_strong_beats(quality: str) -> None:
    tones = spelled(quality)
    strong = [above for beat, above in played(quality, Part.BASS) if beat in (0, 2)]
    assert set(strong) <= tones
    first = [above for beat, above in played(quality, Part.BASS) if beat == 0]
    assert set(first) == {0}


@pytest.mark.parametrize("quality", list(SYMBOLS))
@pytest.mark.parametrize("part", [Part.GUITAR, Part.KEYS])
def test_comping_sounds_the_chord_and_its_colours(quality: str, part: Part) -> None:
    tones = spelled(quality)
    heard = {above for _, above in played(quality, part)}
    assert heard <= tones | COLOURS
    for own, colour in RUBS:
        assert colour not in heard - tones or own not in tones
    telling = tones & {3, 4, 6, 8, 10, 11}  # what tells one chord from another
    assert telling <= heard


def onsets(made: Arrangement, feel_tempo: Fraction) -> dict[Part, list[tuple[Fraction, int]]]:
    performance = perform(made.score, feel_tempo)
    return {
        part: [
            (timed.onset_beats, timed.note.midi)
            for timed in timed_notes(made, performance, part, human=0)
        ]
        for part in Part
    }


def test_a_shuffle_is_twelve_eight() -> None:
    options = Options(style="shuffle")
    four = arrange(score(meter="4/4", feel="shuffle"), options=options)
    twelve = arrange(score(meter="12/8", feel="straight"), options=options)
    assert onsets(four, Fraction(104)) == onsets(twelve, Fraction(104))


@pytest.mark.parametrize("style", list(rules().styles))
@pytest.mark.parametrize("key", ["C", "E", "Gb", "Bb"])
def test_what_the_bass_plays_lies_on_its_strings(style: str, key: str) -> None:
    made = arrange(score(harp=key), options=Options(style=style))
    assert min(note.midi for note in made.notes[Part.BASS]) >= 28  # E1
    assert max(note.midi for note in made.notes[Part.BASS]) <= 67  # 24th fret of the G string


@pytest.mark.parametrize("style", list(rules().styles))
def test_drums_are_general_midi_percussion(style: str) -> None:
    made = arrange(score(), options=Options(style=style))
    keys = {note.midi for note in made.notes[Part.DRUMS]}
    assert keys <= set(range(35, 82))
    assert 36 in keys  # bass drum 1


def test_programs_are_general_midi() -> None:
    assert (BASS + 1, GUITAR + 1) == (34, 28)  # electric bass (finger), electric guitar (clean)
    assert {keys: number + 1 for keys, number in PROGRAMS.items()} == {
        Keys.ORGAN: 17,
        Keys.PIANO: 1,
    }
