"""Ticks: whole for every split, and fractions again."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from reedwright.tune.ticks import TICKS, beats_of
from reedwright.tune.values import MAX_PARTS


@given(st.integers(-1000, 1000), st.integers(1, MAX_PARTS))
def test_no_split_is_rounded(parts: int, split: int) -> None:
    assert TICKS % split == 0
    assert beats_of(parts * (TICKS // split)) == Fraction(parts, split)
