"""A melody written as a tune and read back: the same notes at the same times."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.breath.settings import default_lungs
from reedwright.fit.choices import Choice, Fitting
from reedwright.fit.effort import effort
from reedwright.fit.melody import Melody, MelodyError, MelodyNote
from reedwright.fit.phrases import phrase_starts
from reedwright.fit.wishes import Wishes, all_harps
from reedwright.fit.writing import written
from reedwright.tune.chords import parse_chord
from reedwright.tune.form import ChordSpan
from reedwright.tune.meter import Meter
from reedwright.tune.place import place
from reedwright.tune.read import read_tune
from reedwright.tune.write import write_tune
from tests.fit.melodies import melody

HARPS = all_harps(("C", "A"), ("Richter", "country"))


def best(tune: Melody, **wishes: object) -> Choice:
    fit = Fitting(tune, Wishes(harps=HARPS, **wishes), effort(), default_lungs())  # type: ignore[arg-type]
    return next(fit.all_choices())


def text_of(tune: Melody, **wishes: object) -> str:
    return write_tune(written(tune, best(tune, **wishes)))


@st.composite
def rhythms(draw: st.DrawFn) -> Melody:
    """Melodies with rests, ties over beats and bars, triplets, pickups."""
    meter = draw(st.sampled_from([Meter(4, 4), Meter(3, 4), Meter(12, 8), Meter(2, 4)]))
    steps = st.sampled_from(
        [Fraction(1, 2), Fraction(1, 3), Fraction(1, 4), Fraction(1), Fraction(5, 2)]
    )
    moment = -draw(st.sampled_from([Fraction(0), Fraction(1, 2), Fraction(1)]))
    notes = []
    for pitch in draw(st.lists(st.integers(60, 84), min_size=1, max_size=24)):
        moment += draw(st.sampled_from([Fraction(0), Fraction(0), Fraction(1, 2), Fraction(3)]))
        moment = moment if (moment % 1).denominator in (1, 2) else Fraction(-(-moment // 1))
        length = draw(steps)
        notes.append(MelodyNote(moment, length, (pitch,)))
        moment += length
    return Melody(tuple(notes), "A ♭ title", meter, key=0)


@given(rhythms())
def test_written_and_read_back(tune: Melody) -> None:
    choice = best(tune)
    text = write_tune(written(tune, choice))
    score = place(read_tune(text))
    assert score.findings == ()
    shift, harp = choice.shift_semitones, choice.harp
    heard = [(e.start, e.length, harp.midi(e.sound.notes[0])) for e in score.events]
    assert heard == [(n.start, n.length, n.pitches[0] + shift) for n in tune.notes]
    assert score.tune.position == choice.position


def chords(*bars: str) -> tuple[tuple[ChordSpan, ...], ...]:
    made = []
    for bar in bars:
        names = bar.split()
        share = Fraction(4, len(names))
        made.append(
            tuple(ChordSpan(parse_chord(n, 0), at * share, share) for at, n in enumerate(names))
        )
    return tuple(made)


def test_a_form_that_goes_round_makes_choruses() -> None:
    notes = (60, 64, 67, 72) * 8
    tune = melody(*notes, key=0, bars=chords(*["C7", "F7", "C7", "G7 C7"] * 2), bar_count=8)
    assert (
        text_of(tune)
        == """\
Title: A Melody
Harp: C
Position: first (straight)
Meter: 4/4
Feel: straight
Tempo: 100
Form: C7 | F7 | C7 | G7 C7

Lick Phrase 1
1: 1b 2b 3b 4b
2: 1b 2b 3b 4b
3: 1b 2b 3b 4b
4: 1b 2b 3b 4b

Chorus 1
1 Phrase 1

Chorus 2
1 Phrase 1
"""
    )


def test_chords_move_with_the_melody() -> None:
    spans = (
        ChordSpan(parse_chord("Bb7", 0), Fraction(0), Fraction(3)),
        ChordSpan(parse_chord("F7", 0), Fraction(3), Fraction(1)),
    )
    tune = melody(61, 65, 68, 61, key=1, bars=(spans,), bar_count=1)
    text = text_of(tune, transpose=True, position=1)
    assert "Form: A7 / / E7\n" in text or "Form: F#7 / / C#7\n" in text


def test_rests_of_whole_phrases_are_not_written() -> None:
    notes = (
        MelodyNote(Fraction(0), Fraction(4), (60,)),
        MelodyNote(Fraction(40), Fraction(4), (62,)),
    )
    text = text_of(Melody(notes, key=0))
    score = place(read_tune(text))
    assert [event.start for event in score.events] == [0, 40]


def test_what_cannot_be_written() -> None:
    odd = Melody((MelodyNote(Fraction(1, 13), Fraction(1), (60,)),), key=0)
    with pytest.raises(MelodyError, match="beat 1 would be split into 13 parts"):
        written(odd, best(odd))
    with pytest.raises(MelodyError, match="no notes"):
        written(Melody(()), Choice(HARPS[0], 1, 0, 0, 0, ()))


@given(rhythms())
def test_cuts_are_the_best_there_are(tune: Melody) -> None:
    """Against every set of bars there is, by the costs as they are written down."""
    from reedwright.fit import phrases as room

    beats = tune.meter.beats
    bars = max(1, min(int(-(-tune.notes[-1].end // beats)), 9))
    allowed = room._cut_costs(tune, bars)

    def cost(starts: tuple[int, ...]) -> float:
        total = sum(allowed[start] for start in starts[1:])
        for start, end in zip(starts, (*starts[1:], bars + 1), strict=True):
            length = end - start
            total += room._LENGTHS.get(length, 0.0) + max(0, length - 4) * 6.0
        return total

    least = min(
        cost((1, *chosen))
        for count in range(len(allowed) + 1)
        for chosen in combinations(allowed, count)
    )
    assert cost(phrase_starts(tune, bars)) == pytest.approx(least)
