"""What to cut: against exhaustive search, and the bound of what may go.

Independent oracle: every choice of rounds is tried.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.lesson import shorten
from reedwright.lesson.shorten import rounds_kept
from reedwright.lesson.takes import StepKind, Take

FADE = 0.6


def take(talk_s: float, play_s: float, rounds: int, least: int, worth: float) -> Take:
    return Take(
        "t", "t", StepKind.LEARN, Fraction(60), (), (), 1, 3.0, talk_s, play_s, 0.0, rounds,
        min(least, rounds), worth, False,
    )  # fmt: skip


takes = st.lists(
    st.builds(
        take,
        st.integers(0, 12).map(float),
        st.integers(1, 20).map(float),
        st.integers(1, 3),
        st.integers(0, 1),
        st.integers(0, 30).map(float),
    ),
    max_size=5,
)


def lasting(chosen: Sequence[Take], kept: Sequence[int]) -> float:
    return sum(one.lasting_s(rounds) for one, rounds in zip(chosen, kept, strict=True))


def loss(chosen: Sequence[Take], kept: Sequence[int]) -> float:
    """Worked out here from what docs/plan.md says: a further round is worth FADE of the last."""
    total = 0.0
    for one, rounds in zip(chosen, kept, strict=True):
        values = [FADE**number for number in range(one.rounds)]
        total += one.worth * sum(values[rounds:]) / sum(values)
    return total


def every_choice(chosen: Sequence[Take]) -> list[tuple[int, ...]]:
    return list(product(*(range(one.least, one.rounds + 1) for one in chosen)))


@given(takes, st.integers(0, 200))
def test_least_is_lost_of_all_choices(chosen: list[Take], wished_s: int) -> None:
    kept = rounds_kept(chosen, wished_s, FADE)
    fitting = [
        loss(chosen, one) for one in every_choice(chosen) if lasting(chosen, one) <= wished_s
    ]
    if fitting:
        assert lasting(chosen, kept) <= wished_s
        assert loss(chosen, kept) == pytest.approx(min(fitting), abs=1e-9)
    else:
        assert kept == tuple(one.least for one in chosen)


@given(takes, st.integers(0, 200))
def test_the_quick_way_fits_too_and_cuts_nothing_in_vain(chosen: list[Take], wished_s: int) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(shorten, "MOST_CELLS", 0)
        kept = rounds_kept(chosen, wished_s, FADE)
    if all(one.least == rounds for one, rounds in zip(chosen, kept, strict=True)):
        return
    assert lasting(chosen, kept) <= wished_s
    for at, rounds in enumerate(kept):
        if rounds < chosen[at].rounds:
            one_back = (*kept[:at], rounds + 1, *kept[at + 1 :])
            assert lasting(chosen, one_back) > wished_s


def test_what_fits_is_left_alone() -> None:
    chosen = [take(5, 10, 3, 0, 4), take(5, 10, 1, 1, 4)]
    assert rounds_kept(chosen, 60.0, FADE) == (3, 1)
    assert rounds_kept(chosen, 56.0, FADE) == (3, 1)
    assert rounds_kept(chosen, 55.9, FADE) == (2, 1)


def test_the_cheaper_of_two_goes_although_it_saves_less_for_each_second() -> None:
    """The first loses least for each second, but one cut of the second is enough."""
    chosen = [take(0, 57, 1, 0, 30), take(0, 17, 1, 0, 12)]
    assert rounds_kept(chosen, 60.0, FADE) == (1, 0)


def test_parts_of_a_second_are_never_promised() -> None:
    chosen = [take(0.0, 10.6, 2, 1, 1.0), take(0.0, 10.6, 2, 1, 1.0)]
    whole = sum(one.length_s for one in chosen)
    kept = rounds_kept(chosen, whole - 10.8, FADE)  # 0.2 s more than one of them saves
    assert kept == (1, 1)
    assert lasting(chosen, kept) <= whole - 10.8
