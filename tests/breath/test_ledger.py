"""The interval of possible volumes, the first failure, and the fewest breaths."""

import math
import random
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.breath.ledger import (
    TOLERANCE_L,
    Failure,
    Kind,
    Segment,
    SegmentError,
    fewest_breaths,
    keep_ledger,
)
from reedwright.breath.lungs import Limits, Lungs
from tests.breath.cases import LUNGS, near, note, players, tunes

_OTHER: dict[Kind, Kind] = {"draw": "blow", "blow": "draw", "open": "open"}


def test_a_draw_fills_a_blow_empties_and_a_rest_opens() -> None:
    tune = [note("draw", 1.0), note("open", 0.2), note("blow", 2.0)]
    ledger = keep_ledger(tune, LUNGS, LUNGS.hard)
    assert ledger.low_l == pytest.approx((1.2, 1.4, 1.1, 0.7))
    assert ledger.high_l == pytest.approx((1.2, 1.4, 1.7, 1.3))
    assert ledger.feasible


def test_the_interval_is_cut_to_the_limits() -> None:
    ledger = keep_ledger([note("open", 10.0)], LUNGS, LUNGS.comfortable)
    assert (ledger.low_l[1], ledger.high_l[1]) == (0.6, 4.0)


def test_running_full_is_named() -> None:
    tune = [note("draw", 10.0, label="a"), note("draw", 10.0, label="b")]
    ledger = keep_ledger(tune, LUNGS, LUNGS.hard)
    assert ledger.failure == Failure(1, "b", "full", near(0.4), too_long=False)
    assert len(ledger.low_l) == len(ledger.high_l) == 2


def test_running_empty_is_named() -> None:
    ledger = keep_ledger([note("blow", 10.0, label="a")], LUNGS, LUNGS.hard)
    assert ledger.failure == Failure(0, "a", "empty", near(0.8), too_long=False)


def test_a_note_longer_than_any_breath() -> None:
    ledger = keep_ledger([note("draw", 25.0)], LUNGS, LUNGS.hard)
    assert ledger.failure is not None
    assert ledger.failure.too_long


def test_comfort_fails_before_the_hard_limits_do() -> None:
    tune = [note("draw", 15.0)]
    assert keep_ledger(tune, LUNGS, LUNGS.hard).feasible
    assert not keep_ledger(tune, LUNGS, LUNGS.comfortable).feasible


def test_exactly_on_the_limit_is_allowed_and_a_hair_past_the_tolerance_is_not() -> None:
    for excess_l, fine in ((0.0, True), (TOLERANCE_L / 2, True), (TOLERANCE_L * 2, False)):
        tune = [Segment("draw", 1.0, 3.6 + excess_l)]
        assert keep_ledger(tune, LUNGS, LUNGS.hard).feasible is fine


@pytest.mark.parametrize(("kind", "to_limit_l"), [("draw", 3.6), ("blow", 1.2)])
def test_a_volume_within_the_tolerance_counts_as_on_the_limit(
    kind: Kind, to_limit_l: float
) -> None:
    hairs = [Segment(kind, 1.0, TOLERANCE_L * 0.6)] * 3
    tune = [Segment(kind, 1.0, to_limit_l), *hairs]
    assert keep_ledger(tune, LUNGS, LUNGS.hard).feasible


def test_the_start_is_not_held_against_the_limits() -> None:
    ledger = keep_ledger([note("blow", 1.0)], LUNGS, Limits(0.0, 1.0))
    assert ledger.feasible
    failure = keep_ledger([note("open", 0.1)], LUNGS, Limits(0.0, 1.0)).failure
    assert failure == Failure(0, "", "full", near(0.05), too_long=False)


def test_no_segments() -> None:
    ledger = keep_ledger([], LUNGS, LUNGS.hard)
    assert (ledger.low_l, ledger.high_l, ledger.failure) == ((1.2,), (1.2,), None)
    assert fewest_breaths([], LUNGS, LUNGS.hard) == ()


@pytest.mark.parametrize(
    ("kind", "duration_s", "flow_l_per_s"),
    [
        ("hum", 1.0, 0.2),
        ("draw", -1.0, 0.2),
        ("draw", math.nan, 0.2),
        ("blow", math.inf, 0.2),
        ("blow", 1.0, -0.1),
        ("blow", 1.0, math.nan),
        ("open", 1.0, 0.1),
    ],
)
def test_impossible_segments(kind: Kind, duration_s: float, flow_l_per_s: float) -> None:
    with pytest.raises(SegmentError, match="segment 'x' of"):
        Segment(kind, duration_s, flow_l_per_s, "x")


def test_each_breath_is_put_off_as_long_as_possible() -> None:
    tune = [note("draw", 10.0, label=str(index)) for index in range(6)]  # 2 litres each
    places = fewest_breaths(tune, LUNGS, LUNGS.hard)
    assert [place.label for place in places] == ["1", "3", "5"]


def test_a_note_too_long_is_named_once_and_the_count_goes_on() -> None:
    tune = [note("draw", 30.0), note("draw", 10.0), note("draw", 30.0), note("draw", 20.0)]
    places = fewest_breaths(tune, LUNGS, LUNGS.hard)
    assert [(place.index, place.too_long) for place in places] == [(0, True), (2, True)]
    tune = [note("draw", 30.0), note("draw", 20.0), note("draw", 20.0)]
    places = fewest_breaths(tune, LUNGS, LUNGS.hard)
    assert [(place.index, place.too_long) for place in places] == [(0, True), (2, False)]


@pytest.mark.parametrize("bottom_l", [0.0, 0.1, 0.3, 1.1, 2.7])
def test_a_note_as_long_as_the_room_to_the_last_bit_does_not_hang(bottom_l: float) -> None:
    limits = Limits(bottom_l, bottom_l + 1.1)
    air_l = limits.room_l + TOLERANCE_L
    for _ in range(200):
        air_l = math.nextafter(air_l, 0.0)
    for _ in range(400):
        air_l = math.nextafter(air_l, 9.0)
        for kind in ("draw", "blow"):
            places = fewest_breaths([note(kind, 1.0, air_l)] * 3, LUNGS, limits)
            assert len(places) <= 4


@given(tunes(), players())
def test_the_first_place_to_breathe_is_the_ledgers_failure(
    tune: list[Segment], lungs: Lungs
) -> None:
    failure = keep_ledger(tune, lungs, lungs.hard).failure
    assert fewest_breaths(tune, lungs, lungs.hard)[:1] == (() if failure is None else (failure,))


@given(tunes(), players(), st.data())
def test_more_rest_never_hurts(tune: list[Segment], lungs: Lungs, data: st.DataObject) -> None:
    before = keep_ledger(tune, lungs, lungs.hard)
    at = data.draw(st.integers(0, len(tune)))
    longer = [*tune[:at], note("open", data.draw(st.floats(0.0, 5.0))), *tune[at:]]
    after = keep_ledger(longer, lungs, lungs.hard)
    if before.failure is None:
        assert after.feasible
    elif after.failure is not None:
        assert after.failure.index >= before.failure.index


@given(tunes(least=1), players(), st.sampled_from([0.25, 0.5, 2.0, 8.0]))
def test_half_the_tempo_at_half_the_flow_is_the_same_ledger(
    tune: list[Segment], lungs: Lungs, times: float
) -> None:
    """Powers of two, so that the floats are the same to the last bit."""
    slower = [
        replace(s, duration_s=s.duration_s * times, flow_l_per_s=s.flow_l_per_s / times)
        for s in tune
    ]
    slow_lungs = replace(
        lungs,
        breathe_in_l_per_s=lungs.breathe_in_l_per_s / times,
        breathe_out_l_per_s=lungs.breathe_out_l_per_s / times,
    )
    assert keep_ledger(slower, slow_lungs, lungs.hard) == keep_ledger(tune, lungs, lungs.hard)


@given(tunes(least=1), players())
def test_draws_and_blows_are_mirror_images(tune: list[Segment], lungs: Lungs) -> None:
    mirrored = [replace(segment, kind=_OTHER[segment.kind]) for segment in tune]
    top_l = lungs.vital_capacity_l
    other = replace(
        lungs,
        comfortable_low_l=0.0,
        comfortable_high_l=top_l,
        start_l=top_l - lungs.start_l,
        breathe_in_l_per_s=lungs.breathe_out_l_per_s,
        breathe_out_l_per_s=lungs.breathe_in_l_per_s,
    )
    here, there = keep_ledger(tune, lungs, lungs.hard), keep_ledger(mirrored, other, lungs.hard)
    assert there.low_l == pytest.approx([top_l - high_l for high_l in here.high_l], abs=1e-8)
    if here.failure is not None and here.failure.excess_l > 1e-7:
        assert there.failure is not None
        assert there.failure.index == here.failure.index
        assert {there.failure.side, here.failure.side} == {"full", "empty"}


@pytest.mark.slow
def test_rounding_stays_far_below_the_tolerance_over_100_000_segments() -> None:
    """Against the same rule in exact fractions; the sums are what could drift."""
    source = random.Random(3)
    kinds: list[Kind] = ["draw", "blow", "open"]
    tune = [
        note(source.choice(kinds), source.uniform(0.05, 0.5), source.uniform(0.1, 0.5))
        for _ in range(100_000)
    ]
    slow = replace(LUNGS, breathe_in_l_per_s=0.07, breathe_out_l_per_s=0.09)
    limits = Limits(-40.0, 40.0)  # wide enough to be reached seldom, so that sums run long
    ledger = keep_ledger(tune, slow, limits)
    assert ledger.feasible
    low = high = Fraction(slow.start_l)
    worst = Fraction(0)
    rates = Fraction(slow.breathe_in_l_per_s), Fraction(slow.breathe_out_l_per_s)
    for segment, low_l, high_l in zip(tune, ledger.low_l[1:], ledger.high_l[1:], strict=True):
        duration, flow = Fraction(segment.duration_s), Fraction(segment.flow_l_per_s)
        air = {"draw": flow, "blow": -flow, "open": Fraction(0)}[segment.kind] * duration
        resting = segment.kind == "open"
        low = max(low + air - resting * rates[1] * duration, Fraction(limits.low_l))
        high = min(high + air + resting * rates[0] * duration, Fraction(limits.high_l))
        worst = max(worst, abs(low - Fraction(low_l)), abs(high - Fraction(high_l)))
    assert worst < TOLERANCE_L / 100
    assert worst > 0  # the limits did not simply wipe out every difference
