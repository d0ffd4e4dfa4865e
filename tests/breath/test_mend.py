"""The smallest rest that helps, and what is said when none does."""

from dataclasses import replace

import pytest
from hypothesis import assume, given

from reedwright.breath.ledger import Segment, keep_ledger
from reedwright.breath.lungs import Limits, Lungs
from reedwright.breath.mend import Mend, Rest, mend
from tests.breath.cases import LUNGS, near, near_all, note, players, tunes


def mended(tune: list[Segment], lungs: Lungs = LUNGS) -> Mend:
    found = mend(tune, lungs, keep_ledger(tune, lungs, lungs.hard))
    assert found is not None
    return found


def with_rest(tune: list[Segment], after: int, duration_s: float) -> list[Segment]:
    return [*tune[: after + 1], note("open", max(duration_s, 0.0)), *tune[after + 1 :]]


def test_a_rest_to_breathe_out_nearest_to_the_failure() -> None:
    """1 + 2 + 2 litres from 1.2 end at 6.2, 1.4 too many, which go out at 1.5 a second."""
    tune = [note("draw", 10.0, label=name) for name in "abc"]
    found = mended([note("draw", 5.0, label="z"), *tune])
    assert found.failure.label == "b"
    assert found.rest == Rest(1, "a", 0, near(1.4 / 1.5), "out")


def test_every_earlier_place_back_to_the_start_of_the_run_would_do() -> None:
    tune = [note("open", 9.0), *(note("draw", 6.0, label=name) for name in "abcde")]
    assert mended(tune).rest == Rest(4, "d", 1, near(0.8), "out")
    assert mended(tune[:5], replace(LUNGS, breathe_out_l_per_s=0.1)).rest == Rest(
        3, "c", 0, near(3.0), "out"
    )


def test_a_rest_to_breathe_in() -> None:
    tune = [note("blow", 5.0, label="a"), note("blow", 4.0, label="b")]
    assert mended(tune).rest == Rest(0, "a", 0, near(0.4), "in")


def test_the_note_itself_is_too_long() -> None:
    found = mended([note("draw", 1.0), note("open", 1.0), note("draw", 30.0, label="long")])
    assert found.failure.too_long
    assert found.rest is None
    assert found.start is None
    assert found.longest_s == pytest.approx(24.0)  # 4.8 litres at 0.2
    assert found.shorten_s == pytest.approx(6.0)  # the rest before it is already long enough


def test_the_first_note_is_helped_by_another_start() -> None:
    found = mended([note("blow", 10.0)])
    assert found.rest is None
    assert not found.failure.too_long
    assert found.start == Limits(2.0, 4.8)
    assert found.shorten_s == pytest.approx(4.0)


def test_a_player_who_cannot_breathe_out_has_no_rest_to_help() -> None:
    lungs = replace(LUNGS, breathe_out_l_per_s=0.0)
    found = mended([note("draw", 10.0), note("draw", 10.0)], lungs)
    assert found.rest is None
    assert not found.failure.too_long
    assert found.start is not None
    assert (found.start.low_l, found.start.high_l) == near_all(0.0, 0.8)


def test_shortening_cannot_help_when_the_limit_is_passed_before() -> None:
    tune = [note("draw", 1.0)]
    found = mend(tune, LUNGS, keep_ledger(tune, LUNGS, Limits(0.0, 1.0)))
    assert found is not None
    assert found.shorten_s is None


def test_nothing_to_mend() -> None:
    tune = [note("draw", 1.0)]
    assert mend(tune, LUNGS, keep_ledger(tune, LUNGS, LUNGS.hard)) is None


@given(tunes(least=1), players())
def test_the_rest_helps_at_each_of_its_places_and_a_shorter_one_at_none(
    tune: list[Segment], lungs: Lungs
) -> None:
    ledger = keep_ledger(tune, lungs, lungs.hard)
    assume(ledger.failure is not None)
    assert ledger.failure is not None
    rest = mended(tune, lungs).rest
    through = tune[: ledger.failure.index + 1]
    for after in range(ledger.failure.index):
        ever = keep_ledger(with_rest(through, after, 1e6), lungs, lungs.hard).feasible
        assert (rest is not None and after >= rest.earliest_index) is ever
        if rest is not None and ever:
            helped = with_rest(through, after, rest.duration_s)
            assert keep_ledger(helped, lungs, lungs.hard).feasible
            short = with_rest(through, after, rest.duration_s - 1e-6)
            assert not keep_ledger(short, lungs, lungs.hard).feasible


@given(tunes(least=1), players())
def test_shortening_and_another_start_help(tune: list[Segment], lungs: Lungs) -> None:
    ledger = keep_ledger(tune, lungs, lungs.hard)
    assume(ledger.failure is not None)
    found = mended(tune, lungs)
    index = found.failure.index
    assert found.shorten_s is not None
    note_s = tune[index].duration_s - found.shorten_s
    shorter = [*tune[:index], replace(tune[index], duration_s=note_s)]
    assert keep_ledger(shorter, lungs, lungs.hard).feasible
    if found.start is not None:
        for start_l in (found.start.low_l, found.start.high_l):
            other = replace(
                lungs,
                comfortable_low_l=0.0,
                comfortable_high_l=lungs.vital_capacity_l,
                start_l=start_l,
            )
            assert keep_ledger(tune[: index + 1], other, lungs.hard).feasible
