"""Forms: named, written out, and what is under a beat."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import TuneError
from reedwright.tune.chords import QUALITIES, Chord
from reedwright.tune.form import Form, form_names, parse_form
from reedwright.tune.meter import Meter
from tests.strategies import meters

A, D, E = 9, 2, 4


def names(form: Form) -> list[list[tuple[str, Fraction, Fraction]]]:
    return [[(span.chord.name(), span.start, span.length) for span in bar] for bar in form.bars]


@given(st.sampled_from(form_names()), st.integers(0, 11), meters)
def test_named_forms_fill_their_bars(name: str, key: int, meter: Meter) -> None:
    form = parse_form(f"{name.upper()} blues", key, meter)
    assert form.name == name
    assert len(form.bars) == int(name.partition("-")[0])
    for bar in form.bars:
        assert bar[0].start == 0
        assert all(a.start + a.length == b.start for a, b in pairwise(bar))
        assert bar[-1].start + bar[-1].length == meter.beats
    assert form.has_home(key)


def test_chords_share_a_bar() -> None:
    form = parse_form("| A7 | % | D7 / / E | A E |", A, Meter())
    one, two = Fraction(1), Fraction(2)
    assert names(form) == [
        [("A7", Fraction(0), 4 * one)],
        [("A7", Fraction(0), 4 * one)],
        [("D7", Fraction(0), 3 * one), ("E", 3 * one, one)],
        [("A", Fraction(0), two), ("E", two, two)],
    ]


def test_the_chord_under_a_beat() -> None:
    form = parse_form("A7 | D7 E7", A, Meter())
    assert form.chord_at(1, Fraction(1)) == Chord(A, "7")
    assert form.chord_at(2, Fraction(5, 2)) == Chord(D, "7")
    assert form.chord_at(2, Fraction(3)) == Chord(E, "7")
    assert form.chord_at(0, Fraction(4)) == Chord(E, "7")  # a pickup: the last bar
    assert form.chord_at(3, Fraction(1)) == Chord(A, "7")  # an ending goes round again
    assert Form().chord_at(1, Fraction(1)) is None


def test_minor_or_not() -> None:
    minor = parse_form("12-bar minor", A, Meter())
    assert minor.is_minor(A)
    assert not parse_form("12-bar", A, Meter()).is_minor(A)
    assert not Form().has_home(A)


def test_all_faults_of_a_form_at_once() -> None:
    with pytest.raises(TuneError) as caught:
        parse_form("A7 | | H | / | % | A7 X", A, Meter())
    assert [problem.found for problem in caught.value.problems] == [
        "bar 2 of the form has no chord",
        "unknown chord 'H' in bar 3 of the form",
        "bar 4 of the form has no chord",
        "unknown chord 'X' in bar 6 of the form",
    ]


@given(st.lists(st.sampled_from([*QUALITIES, "A", "|", "/", "%", "I7", "x"]), max_size=40))
def test_any_heap_of_chords(pieces: list[str]) -> None:
    try:
        form = parse_form(" ".join(pieces), A, Meter())
    except TuneError:
        return
    assert all(sum(span.length for span in bar) == 4 for bar in form.bars)
