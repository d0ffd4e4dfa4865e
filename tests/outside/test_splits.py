"""The octaves and sevenths in use on a C harp; see docs/facts.md, L.

Source: common practice: blow octaves span four holes, draw octaves 1+4 and then five holes, and
draw 2+5 is a seventh and in use. Intervals are counted from the published layout (OEIS A291810:
semitones above hole 1 blow, in the order 1b 1d 2b 2d …), not from the code.
"""

import pytest

from reedwright.check.exists import sound_faults
from reedwright.harp.harp import harp_named
from reedwright.tune.tokens import parse_sound

C = harp_named("C")
A291810 = [0, 2, 4, 7, 7, 11, 12, 14, 16, 17, 19, 21, 24, 23, 28, 26, 31, 29, 36, 33]
OCTAVES = ["1+4b", "2+5b", "3+6b", "4+7b", "1+4d", "3+7d", "4+8d", "5+9d", "6+10d"]
SEVENTHS = ["2+5d"]


def interval(low: int, high: int, breath: str) -> int:
    side = "bd".index(breath)
    return A291810[2 * high - 2 + side] - A291810[2 * low - 2 + side]


@pytest.mark.parametrize("token", OCTAVES + SEVENTHS)
def test_splits_in_use_can_be_played(token: str) -> None:
    assert sound_faults(parse_sound(token), C) == []


def test_the_layout_agrees_about_their_widths() -> None:
    assert {interval(*pair(token)) for token in OCTAVES} == {12}
    assert {interval(*pair(token)) for token in SEVENTHS} == {10}


def test_every_split_is_judged_as_the_layout_has_it() -> None:
    """All 72 pairs with a hole between: fine exactly when an octave or seventh of 3 to 5 holes."""
    fine = []
    for breath in "bd":
        for low in range(1, 9):
            for high in range(low + 2, 11):
                token = f"{low}+{high}{breath}"
                octave_or_seventh = interval(low, high, breath) in (10, 11, 12)
                wanted = octave_or_seventh and high - low + 1 <= 5
                assert (sound_faults(parse_sound(token), C) == []) == wanted, token
                fine += [token] * wanted
    assert set(OCTAVES + SEVENTHS) <= set(fine)


def pair(token: str) -> tuple[int, int, str]:
    low, high = token[:-1].split("+")
    return int(low), int(high), token[-1]
