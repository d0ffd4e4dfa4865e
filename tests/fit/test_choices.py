"""Choices: the best of all harps and octaves, against trying every one of them."""

from __future__ import annotations

from fractions import Fraction
from itertools import islice, pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reedwright.breath.settings import default_lungs
from reedwright.errors import SettingError
from reedwright.fit.choices import Fitting
from reedwright.fit.costs import POINT, Costs
from reedwright.fit.effort import effort
from reedwright.fit.melody import Melody, MelodyError, MelodyNote
from reedwright.fit.verdict import in_words, verdict, why_better
from reedwright.fit.ways import Ways
from reedwright.fit.wishes import Wishes, all_harps
from reedwright.harp.harp import Harp
from reedwright.harp.tuning import tuning_named
from reedwright.tune.techniques import ladder
from tests.fit.melodies import melody

LUNGS = default_lungs()
C = Harp("C", tuning_named("Richter"))


def fitting(tune: Melody, **wishes: object) -> Fitting:
    return Fitting(tune, Wishes(**wishes), effort(), LUNGS)  # type: ignore[arg-type]


def test_a_melody_of_natural_notes_takes_the_harp_that_has_them() -> None:
    # C major from the middle of the usual C harp up: 4 blow and on.
    scale = (72, 74, 76, 77, 79, 81, 83, 84)
    best = next(fitting(melody(*scale, key=0), harps=all_harps(tunings=("Richter",))).choices())
    assert (best.harp.name, best.position, best.shift_semitones) == ("C", 1, 0)
    assert best.tab == ("4b", "4d", "5b", "5d", "6b", "6d", "7d", "7b")
    counted = verdict(melody(*scale, key=0), best, LUNGS)
    assert (counted.natural, counted.bends, counted.turns, counted.leap) == (8, 0, 6, 1)


@given(
    st.lists(st.integers(55, 84), min_size=1, max_size=5),
    st.sampled_from([Fraction(1, 4), Fraction(1), Fraction(2)]),
)
@settings(max_examples=30)
def test_nothing_cheaper_is_to_be_found(pitches: list[int], length: Fraction) -> None:
    """Against every harp, octave and tab, summed term by term."""
    tune = melody(*pitches, length=length, key=pitches[0] % 12)
    harps = all_harps(keys=("G", "C"), tunings=("Richter", "solo"))
    best = next(fitting(tune, harps=harps).all_choices(), None)
    costs, step_s = Costs(effort()), float(length) * tune.beat_s
    least = None
    for harp, octaves in product(harps, range(-4, 5)):
        ways = Ways(harp.tuning)
        layers = [ways.of((pitch + 12 * octaves - harp.key_midi,)) for pitch in pitches]
        for tab in product(*layers):
            cost = sum(costs.note(way, step_s) for way in tab)
            cost += sum(costs.move(a, b, costs.time_s(step_s)) for a, b in pairwise(tab))
            position = (pitches[0] + 12 * octaves - harp.first_key) * 7 % 12 + 1
            points = effort().of_tuning(harp.tuning.name) + abs(octaves) * effort().harp["octave"]
            points += effort().harp["odd-position"] * (position > 3)
            cost += round(points * POINT)
            least = cost if least is None else min(least, cost)
    assert (None if best is None else best.cost) == least


def test_what_a_student_can_do_is_a_hard_limit() -> None:
    blue = melody(67, 70, 67)  # G Bb G: 3 draw bent, or another harp
    beginner = ladder().of_level("beginner")
    assert {c.tab[1] for c in fitting(blue, harps=(C,)).choices()} == {"3d'", "6bo", "10b''"}
    assert list(fitting(blue, harps=(C,), abilities=beginner).choices()) == []


def test_notes_out_of_reach() -> None:
    low = melody(72, 50, 72)
    assert [c.shift_semitones for c in fitting(low, harps=(C,)).all_choices()] == [12, 24]
    deep = melody(72, 26, 72)  # a D that no shift brings onto the harp together with the C
    assert list(fitting(deep, harps=(C,)).all_choices()) == []
    folded = next(fitting(deep, harps=(C,), fold=True).choices())
    assert folded.folded == (1,)
    assert folded.tab[1] in ("1d", "4d", "8d")
    dropped = fitting(melody(72, 0, 127, 76), harps=(C,), drop=True)
    choice = next(dropped.choices())
    assert choice.tab.count("") == 2
    assert verdict(dropped.melody, choice, LUNGS).unreachable == 2


def test_what_cannot_be_breathed_is_passed_over() -> None:
    """A minute of one long blow note after another on a slow tempo: no lungs give that."""
    long = melody(60, 64, 60, 64, length=20, tempo_bpm=Fraction(60), key=0)
    every = list(fitting(long, harps=(C,)).all_choices())
    assert every
    assert not every[0].breath_ok
    assert list(fitting(long, harps=(C,)).choices()) == [c for c in every if c.breath_ok]
    assert "cannot be breathed" in in_words(every[0], verdict(long, every[0], LUNGS))


def test_a_dearer_tab_is_taken_where_the_cheapest_cannot_be_breathed() -> None:
    """Long notes that 2 draw and 3 blow both give: by turns they can be breathed."""
    tune = melody(67, 67, 67, 67, length=7, tempo_bpm=Fraction(60), key=0)
    choice = next(fitting(tune, harps=(C,)).choices())
    assert choice.tried > 0
    assert {"2d", "3b"} >= set(choice.tab)
    assert len(set(choice.tab)) == 2


def test_in_order_and_no_choice_twice() -> None:
    tune = melody(67, 69, 71, 72, 74, key=7)
    found = list(
        fitting(tune, transpose=True, harps=all_harps(("C", "G"), ("Richter",))).all_choices()
    )
    assert [c.cost for c in found] == sorted(c.cost for c in found)
    assert len({(c.harp, c.shift_semitones) for c in found}) == len(found)


def test_other_tabs_of_one_harp() -> None:
    tune = melody(67, 69, 67, key=7)
    fit = fitting(tune, harps=(C,))
    first = next(choice for choice in fit.choices() if choice.shift_semitones == 0)
    tabs = list(islice(fit.tabs(first), 4))
    assert tabs[0].tab == first.tab
    assert len({each.tab for each in tabs}) == len(tabs) == 4
    assert [each.cost for each in tabs] == sorted(each.cost for each in tabs)


def test_a_chord_and_an_octave() -> None:
    notes = (
        MelodyNote(Fraction(0), Fraction(1), (60, 64, 67)),
        MelodyNote(Fraction(1), Fraction(1), (60, 72)),
    )
    choice = next(fitting(Melody(notes, key=0), harps=(C,)).choices())
    assert choice.tab == ("1+2+3b", "1+4b")


def test_in_words() -> None:
    tune = melody(67, 70, 71, 74, key=7)
    fit = fitting(tune, harps=all_harps(("C", "G"), ("Richter",)))
    first, second = islice(fit.choices(), 2)
    a, b = verdict(tune, first, LUNGS), verdict(tune, second, LUNGS)
    assert in_words(first, a) == (
        "C harp, second (cross) position, in G. 4 notes: 3 natural, 1 bend (3d'). 1 breath turn, "
        "farthest move 1 hole. Air enough, 2.2 litres to spare at the tightest spot."
    )
    assert why_better(first, second, a, b).startswith("It is ")


def test_wishes_out_of_range() -> None:
    for wrong in ({"choices": 0}, {"tabs": 51}, {"position": 13}, {"harps": ()}):
        with pytest.raises(SettingError):
            Wishes(**wrong)


def test_notes_that_cannot_be() -> None:
    with pytest.raises(MelodyError, match="A note has pitches"):
        MelodyNote(Fraction(0), Fraction(0), (60,))
    with pytest.raises(MelodyError, match="one note after the other"):
        Melody(
            (
                MelodyNote(Fraction(0), Fraction(2), (60,)),
                MelodyNote(Fraction(1), Fraction(1), (62,)),
            )
        )


def test_nothing_to_fit() -> None:
    assert list(fitting(Melody(())).all_choices()) == []
