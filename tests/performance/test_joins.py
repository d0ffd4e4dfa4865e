"""How notes follow one another."""

from fractions import Fraction

import pytest

from reedwright.performance.joins import Join, gap_s, join_of
from reedwright.performance.perform import perform
from tests.performance.tunes import one_bar


@pytest.mark.parametrize(
    ("cells", "join"),
    [
        ("4d 5d", Join.LEGATO),
        ("4d 4d", Join.REPEAT),
        ("4d 4b", Join.TURN),
        ("1+2d 2+3d", Join.REPEAT),
        ("1+2d 3+4d", Join.LEGATO),
        ("4d&. 4d", Join.APART),
        ("4d 4d'", Join.SLUR),
        ("3d''v 3d'", Join.SLUR),
        ("4d\\ 4d'", Join.REPEAT),
        ("2d' 2d''!", Join.REPEAT),
        ("4d' /4d", Join.REPEAT),
        ("3d' 3ds", Join.REPEAT),
        ("3dp 3d'", Join.REPEAT),
        ("6b 6bo", Join.REPEAT),
        ("4x5d 4d'", Join.REPEAT),
        ("3+4d 3d'+4d'", Join.REPEAT),
        ("4d' 5d'", Join.LEGATO),
    ],
)
def test_joins(cells: str, join: Join) -> None:
    before, after = perform(one_bar(f"{cells} . ."), Fraction(60)).events
    assert join_of(before, after) is join


def test_the_button_needs_no_tongue() -> None:
    score = one_bar("3b 3b* . .", Tuning="slide")
    before, after = perform(score, Fraction(60)).events
    assert join_of(before, after) is Join.LEGATO


@pytest.mark.parametrize(
    ("join", "between_s", "silent_s"),
    [
        (Join.REPEAT, 1.0, 0.025),
        (Join.TURN, 1.0, 0.015),
        (Join.SLUR, 1.0, 0.0),
        (Join.LEGATO, 1.0, 0.0),
        (Join.REPEAT, 0.02, 0.005),
    ],
)
def test_gaps(join: Join, between_s: float, silent_s: float) -> None:
    assert gap_s(join, between_s) == silent_s
