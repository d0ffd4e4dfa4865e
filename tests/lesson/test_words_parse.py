"""Tab and rhythm are rebuilt from the words alone, token for token, by the tests' own parser."""

import pytest
from hypothesis import given

from reedwright.lesson.study import Study, study
from reedwright.lesson.words.speech import piece_words, tune_words
from reedwright.lesson.words.wording import wording
from reedwright.tune.place import Score
from tests.lesson.spoken import Heard, heard, start_of
from tests.lesson.taught import DEMOS, demo, many_licks, taught
from tests.strategies import placed_tunes

EVERYTHING = """\
Title: Everything
Harp: C
Position: 2
Tempo: 60

Lick All
0: . . .&4d 4d'
1: 2d'' 3d''' 6bo 7do
2: 1+2+3d 1+4b 2d+3d' 4x5d@4
3: /4d 2d 4dv@5 1>4d
4: 2d\\ 3dt&(4d) 1+2+4ds 2dp!
5: 2d&3d&4d 2d&=&3d&. 4d =
6: = = = .
7: . . 5bhf .
8: 4d&5d&.&6b&6d . 2d 2d
"""


def check(found: Study) -> None:
    """Every piece, all notes: start in the count, onsets, lengths, sounds and marks."""
    compound = found.score.tune.meter.compound
    said = tune_words(found).texts()
    assert list(said) == [one.piece.id for one in found.pieces]
    for one in found.pieces:
        events = one.piece.events
        expected = [Heard(e.start - events[0].start, e.length, e.sound) for e in events]
        assert heard(said[one.piece.id], compound=compound) == expected, said[one.piece.id]
        start = start_of(said[one.piece.id], compound=compound)
        assert (start.bar, start.beat) == (events[0].bar, events[0].beat)
        assert start.chorus in (None, events[0].chorus)


@pytest.mark.parametrize("name", DEMOS)
def test_demo_tunes(name: str) -> None:
    check(demo(name))


@given(placed_tunes())
def test_any_tune(score: Score) -> None:
    check(study(score))


@pytest.mark.parametrize("level", ["beginner", "expert"])
def test_three_hundred_licks(level: str) -> None:
    check(many_licks(300))


def test_a_piece_by_itself_is_as_complete() -> None:
    found = demo("the-ferry-was-late.reed")
    for one in found.pieces:
        said = [s.text for s in piece_words(found, one, found.score.tune.full_tempo_bpm, wording())]
        sounds = [note.sound for note in heard(said, compound=False)]
        assert sounds == [event.sound for event in one.piece.events]


def test_the_parser_tells_a_wrong_note() -> None:
    """The oracle can fail: one changed word is one changed note."""
    right = ["We begin.", "Play two eighths, 4 draw bent a half step and 3 draw."]
    wrong = [right[0], right[1].replace("half step", "whole step")]
    assert heard(right, compound=False) != heard(wrong, compound=False)
    assert heard(right, compound=False) != heard(right, compound=True)


def test_every_technique() -> None:
    check(taught(EVERYTHING))
    check(taught(EVERYTHING.replace("Tempo: 60", "Tempo: 60\nMeter: 12/8")))


def test_one_note() -> None:
    check(taught("Title: T\nHarp: C\nPosition: 2\n\nLick A\n1: 2d . . .\n"))


def test_slide_harp() -> None:
    check(taught("Title: T\nHarp: C\nTuning: slide\nPosition: 1\n\nLick A\n1: 2d 3b* 2d'* 5d*\n"))
