"""Counts and beats that are told, against what music21 reads in the tune's own MusicXML.

Oracle: music21 (BSD) parses the sheet's MusicXML, knows nothing of tab or of words, and gives each
note its bar, beat and length; the words are read by the tests' own parser (tests/lesson/spoken.py).
Bars of the sheet stand in order of time; a pickup is bar 0.
"""

import warnings
from fractions import Fraction

import music21
import pytest

from reedwright.lesson.study import Study
from reedwright.lesson.words.speech import tune_words
from reedwright.sheet.musicxml import musicxml
from tests.lesson.spoken import heard, start_of
from tests.lesson.taught import DEMOS, demo

Struck = tuple[Fraction, Fraction]
"""Onset from bar 1 of the first chorus and length, in counted beats."""


def struck(found: Study) -> set[Struck]:
    """Every note of the sheet as music21 reads it, ties joined."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        read = music21.converter.parse(musicxml(found.score), format="musicxml").stripTies()
    beat = Fraction(3, 2) if found.score.tune.meter.compound else Fraction(1)
    first = next(bar for bar in read.recurse().getElementsByClass("Measure") if bar.number == 1)
    zero = Fraction(first.getOffsetInHierarchy(read))
    return {
        (
            (Fraction(note.getOffsetInHierarchy(read)) - zero) / beat,
            Fraction(note.duration.quarterLength) / beat,
        )
        for note in read.recurse().notes
        if not isinstance(note, music21.harmony.Harmony)
    }


@pytest.mark.parametrize("name", DEMOS)
def test_told_starts_and_lengths_are_those_music21_reads(name: str) -> None:
    found = demo(name)
    sheet, tune = struck(found), found.score.tune
    beats, form = tune.meter.beats, len(tune.form.bars)
    for piece, said in tune_words(found).texts().items():
        start = start_of(said, compound=tune.meter.compound)
        bar = start.bar - 1 + form * ((start.chorus or 1) - 1)
        onset = bar * beats + start.beat - 1
        told = [
            (onset + note.start, note.length) for note in heard(said, compound=tune.meter.compound)
        ]
        assert set(told) <= sheet, piece


@pytest.mark.parametrize("name", DEMOS)
def test_the_count_fills_the_bar_up_to_the_note(name: str) -> None:
    """As many beats are counted as music21 finds on or before the note in its bar."""
    found = demo(name)
    tune = found.score.tune
    meter = music21.meter.TimeSignature(str(tune.meter))
    assert meter.beatCount == tune.meter.beats
    for said in tune_words(found).texts().values():
        start = start_of(said, compound=tune.meter.compound)
        quarters = (start.beat - 1) * Fraction(meter.beatDuration.quarterLength)
        begun = Fraction(meter.getBeatProportion(float(quarters))).limit_denominator(48)
        assert begun == start.beat
        whole = -(-begun.numerator // begun.denominator) - 1
        assert len(start.counted) == (whole or meter.beatCount)
