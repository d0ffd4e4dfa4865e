"""Cells to sounds in time and back."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given

from reedwright.tune.barring import Barring, TimedSound, sounds_of
from reedwright.tune.place import place
from reedwright.tune.read import read_tune
from reedwright.tune.values import Bar
from tests.strategies import tunes_as_written

LICK = """\
Title: T
Harp: C
Position: 2

Lick Call
0: . . . .&2d
1: 3d&=&4d = 4b& .&.&5d
2: = . {cup open} 2d .
""".replace("4b& ", "4b ")


def test_where_everything_stands() -> None:
    bars = [
        (bar.number, bar)
        for bar in read_tune(LICK).licks["call"].lick.lines
        if isinstance(bar, Bar)
    ]
    sounds = sounds_of(bars, 4)
    third = Fraction(1, 3)
    assert [(s.start, s.length, str(s.sound.notes[0]), s.line) for s in sounds] == [
        (Fraction(-1, 2), Fraction(1, 2), "2d", 6),
        (0, 2 * third, "3d", 7),
        (2 * third, 1 + third, "4d", 7),
        (2, 1, "4b", 7),
        (3 + 2 * third, 1 + third, "5d", 7),
        (6, 1, "2d", 8),
    ]
    barring = Barring(sounds, 4)
    assert barring.has_pickup
    assert barring.splits() == {-1: 2, 0: 3, 1: 1, 2: 1, 3: 3, 4: 1, 6: 1}
    again = [(number, barring.bar(number, number)) for number in range(3)]
    assert [(s.start, s.length) for s in sounds_of(again, 4)] == [
        (s.start, s.length) for s in sounds
    ]


def test_silence() -> None:
    barring = Barring((), 3)
    assert (barring.has_pickup, barring.splits()) == (False, {})
    assert sounds_of([(1, barring.bar(1, 1))], 3) == ()


@given(tunes_as_written())
def test_what_is_placed_comes_back(text: str) -> None:
    """Every event of a placed tune, put into bars and read again, stands where it stood."""
    score = place(read_tune(text))
    beats = score.tune.meter.beats
    sounds = [TimedSound(e.start, e.length, e.sound) for e in score.events]
    barring = Barring(sounds, beats)
    split = barring.splits()
    last = int(max((s.end for s in sounds), default=Fraction(0)) // beats) + 1
    if max(split.values(), default=1) <= 12:  # two licks may meet in a beat no cell can hold
        bars = [(number, barring.bar(number, number)) for number in range(last + 1)]
        assert list(sounds_of(bars, beats)) == sounds
