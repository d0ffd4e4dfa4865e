"""Reach: how far a note's pitch can move on its hole."""

import pytest
from hypothesis import given

from reedwright.harp.harp import Harp, harp_named
from reedwright.harp.law import bend_limit, higher_breath
from reedwright.harp.note import TabNote, parse_note
from reedwright.harp.tuning import Valves
from reedwright.performance.reach import Reach
from tests.strategies_harp import harp_and_note

C = harp_named("C")


def limits(*tokens: str, harp: Harp = C) -> tuple[float, float]:
    return Reach(harp).limits(tuple(parse_note(token) for token in tokens))


@pytest.mark.parametrize(
    ("token", "low", "high"),
    [
        ("3d", -375, 0),  # B4, down to G4
        ("3d'", -275, 100),
        ("3d'''", -75, 300),
        ("4d", -175, 0),
        ("4d'", -75, 100),
        ("5d", -75, 0),  # F5 over E5: no full semitone, but a dip
        ("4b", -15, 0),  # the lower reed
        ("8b'", -75, 100),
        ("6bo", -30, 0),
    ],
)
def test_notes_of_a_c_harp(token: str, low: float, high: float) -> None:
    assert limits(token) == (low, high)


def test_a_chord_moves_as_far_as_its_stiffest_reed() -> None:
    assert limits("3d", "4d") == (-175, 0)
    assert limits("1b", "4b") == (-15, 0)


def test_valves() -> None:
    assert limits("4b", harp=harp_named("C", "half-valved Richter")) == (-100, 0)


@given(harp_and_note())
def test_a_bend_stays_between_the_two_notes(pair: tuple[Harp, TabNote]) -> None:
    harp, note = pair
    reach = Reach(harp)
    low, high = reach.limits((note,))
    assert low <= 0 <= high
    if note.over or higher_breath(harp.tuning, note.hole) is not note.breath:
        return
    if harp.tuning.valves is Valves.ALL:
        assert reach.cents(note) + low >= reach.cents(note.natural()) - 100 or low == 0
        return
    other = TabNote(note.hole, note.breath.other, button=note.button)
    assert low == 0 or reach.cents(note) + low > reach.cents(other)
    assert high == 0 or reach.cents(note) + high == pytest.approx(reach.cents(note.natural()))
    assert note.bend <= bend_limit(harp.tuning, note.hole, note.breath)
