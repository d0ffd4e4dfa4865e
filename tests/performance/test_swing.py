"""Swing: the exact warp of a beat. Source of 2:1 for a shuffle: common practice."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.performance.swing import straight_beats, swings, swung
from tests.performance.tunes import one_bar, ratios, score_of

F = Fraction

positions = st.fractions(min_value=-8, max_value=64, max_denominator=96)


@pytest.mark.parametrize(
    ("ratio", "half", "quarter", "three_quarters"),
    [
        (F(1), F(1, 2), F(1, 4), F(3, 4)),
        (F(3, 2), F(3, 5), F(3, 10), F(4, 5)),
        (F(2), F(2, 3), F(1, 3), F(5, 6)),
        (F(3), F(3, 4), F(3, 8), F(7, 8)),
        (F(7, 2), F(7, 9), F(7, 18), F(8, 9)),
    ],
)
def test_the_parts_of_a_beat(ratio: F, half: F, quarter: F, three_quarters: F) -> None:
    assert swung(F(1, 2), ratio) == half
    assert swung(F(1, 4), ratio) == quarter
    assert swung(F(3, 4), ratio) == three_quarters
    assert swung(F(-1, 2), ratio) == half - 1


@given(st.integers(-9, 99), ratios)
def test_the_halves_stand_in_the_ratio(beat: int, ratio: F) -> None:
    middle = swung(beat + F(1, 2), ratio)
    assert swung(F(beat), ratio) == beat
    assert (middle - beat) / (beat + 1 - middle) == ratio


@given(positions, positions, ratios)
def test_order_is_kept(one: F, other: F, ratio: F) -> None:
    low, high = sorted((one, other))
    if low < high:
        assert swung(low, ratio) < swung(high, ratio)


@given(positions)
def test_straight_changes_nothing(position: F) -> None:
    assert swung(position, F(1)) == position


def test_which_splits_swing() -> None:
    assert [split for split in range(1, 20) if swings(split)] == [2, 4, 8, 16]


def test_only_boundaries_inside_a_beat_make_it_straight() -> None:
    events = one_bar("4d&5d 4d&5d&6d 4d 4d&5d&4d&5d&4d&5d").events
    assert straight_beats(events) == {1, 3}
    held = one_bar("4d&5d =&=&. 4d&=&= 4d&5d").events
    assert straight_beats(held) == {1}


def test_half_of_a_sextuplet_does_not_swing() -> None:
    assert straight_beats(one_bar("4d&=&=&5d&=&= . . .").events) == {0}


def test_a_pickup_has_beats_before_nought() -> None:
    text = "Title: P\nHarp: C\nPosition: 1\nLick A\n0: . . . .&4d&5d\n1: 4d . . .\n"
    assert straight_beats(score_of(text).events) == {-1}
