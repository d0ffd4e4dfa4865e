"""The band's MIDI file as other readers hear it, against onsets counted by hand.

Sources: music21 10.5 and mir_eval 0.8 (onset window 50 ms, its default) share no code with ours; a
shuffle puts the second half of a beat on two thirds: common practice, no source. The bar below is
written in a row of rules of its own and counted by hand.
"""

from fractions import Fraction
from pathlib import Path

import mir_eval.onset
import music21
import numpy as np
import pytest

from reedwright.band.arrange import arrange
from reedwright.band.midi import band_midi
from reedwright.band.rulesfile import read_rules
from reedwright.band.values import Options
from reedwright.performance.perform import perform
from reedwright.tables import packaged_text
from tests.band.tunes import score

OWN = """
[style.counted]
asked = true
[[style.counted.groove]]
beats = 4
hat = "xx xx xx xx"
kick = "x. .x x.x xxxx"
[[style.counted.groove]]
beats = 3
hat = "x x x"
[[style.counted.fill]]
snare = "x"
[style.counted.bass]
four = ["R- -r 5- .r"]
three = ["R c c"]
turn = ["R c c c"]
[style.counted.guitar]
four = [". x . x"]
three = [". x x"]
turn = ["x x x x"]
[style.counted.keys]
four = ["x- -- -- -."]
three = ["x x x"]
turn = ["x x x x"]
"""
# Quarters from the bar line at 2:1: halves on 2/3, sixteenths on 1/3, 2/3 and 5/6, triplets as
# written. Bars 1 and 2 of a form of eight have no fill.
HALVES = [Fraction(text) for text in ["0", "2/3", "1", "5/3", "2", "8/3", "3", "11/3"]]
KICK = [Fraction(text) for text in ["0", "5/3", "2", "8/3", "3", "10/3", "11/3", "23/6"]]
BASS = [Fraction(text) for text in ["0", "5/3", "2", "11/3"]]
TEMPO = 100


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    text = packaged_text("band.toml").replace("order = [", 'order = ["counted", ') + OWN
    tune = score("8-bar", tempo=TEMPO, choruses=1)
    made = arrange(tune, options=Options(style="counted"), rules=read_rules(text))
    target = tmp_path_factory.mktemp("band") / "band.mid"
    target.write_bytes(band_midi(made, perform(tune, Fraction(TEMPO))))
    return target


def heard(path: Path, part: int) -> list[tuple[Fraction, frozenset[int]]]:
    """Quarters from the start and keys of what one part plays, as music21 reads it unquantised."""
    read = music21.converter.parse(path, format="midi", quantizePost=False)
    notes = read.parts[part].flatten().notes
    return [
        (
            Fraction(note.offset).limit_denominator(5040),
            frozenset(pitch.midi for pitch in getattr(note, "pitches", ())),
        )
        for note in notes
    ]


def first_bars(found: list[tuple[Fraction, frozenset[int]]]) -> list[Fraction]:
    """Onsets of bars 1 and 2, behind four quarters of count-in."""
    return sorted({at - 4 for at, _ in found if 4 <= at < 12})


def twice(bar: list[Fraction]) -> list[Fraction]:
    return bar + [at + 4 for at in bar]


def test_another_reader_hears_the_bars_counted_by_hand(path: Path) -> None:
    drums = sorted({*HALVES, *KICK})
    assert first_bars(heard(path, 0)) == twice(drums)
    assert first_bars(heard(path, 1)) == twice(BASS)
    assert first_bars(heard(path, 2)) == twice([Fraction(1), Fraction(3)])
    assert first_bars(heard(path, 3)) == twice([Fraction(0)])


def test_onsets_match_all_of_them(path: Path) -> None:
    wanted_s = np.array([float((4 + at) * 60 / TEMPO) for at in twice(BASS)])
    found_s = np.array([float((4 + at) * 60 / TEMPO) for at in first_bars(heard(path, 1))])
    score_f, precision, recall = mir_eval.onset.f_measure(wanted_s, found_s)
    assert (score_f, precision, recall) == (1.0, 1.0, 1.0)
