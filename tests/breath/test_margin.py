"""Margin and comfort: how far the limits can be drawn in."""

import math
import random
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.breath.ledger import Kind, Segment, keep_ledger, shifts_of
from reedwright.breath.lungs import Limits, Lungs
from reedwright.breath.margin import Margin, comfort, margin
from tests.breath.cases import LUNGS, near, note, players, tunes


def test_one_draw_from_the_start() -> None:
    """1.2 + 2.0 leaves 1.6 below 4.8; 3.2 stands above the lower limit."""
    tune = [note("draw", 10.0, label="a")]
    assert margin(tune, LUNGS, LUNGS.hard) == Margin(near(1.6), 0, "a", "full")


def test_a_run_from_limit_to_limit_halves_what_is_left() -> None:
    """After a rest as long as one likes 3 litres drawn in a room of 4.8 leave 0.9 at each end."""
    tune = [note("open", 60.0), note("draw", 5.0), note("draw", 10.0, label="end")]
    assert margin(tune, LUNGS, LUNGS.hard) == Margin(near(0.9), 2, "end", "full")


def test_a_tune_that_cannot_be_breathed_lacks_room() -> None:
    tune = [note("blow", 10.0, label="a")]
    assert margin(tune, LUNGS, LUNGS.hard) == Margin(near(-0.8), 0, "a", "empty")


def test_a_rest_alone_keeps_to_the_middle() -> None:
    found = margin([note("open", 60.0)], LUNGS, LUNGS.hard)
    assert found is not None
    assert found.litres == pytest.approx(2.4)


def test_nothing_to_play() -> None:
    assert margin([], LUNGS, LUNGS.hard) is None
    assert comfort([], LUNGS) == 1.0


def test_comfort_between_the_limits() -> None:
    """From 1.2 a draw of 3.2 ends at 4.4, half-way between comfortable 4.0 and full 4.8."""
    assert comfort([note("draw", 16.0)], LUNGS) == pytest.approx(0.5)
    assert comfort([note("draw", 1.0)], LUNGS) == 1.0
    assert comfort([note("draw", 20.0)], LUNGS) == pytest.approx(-0.5)


def test_limits_that_are_the_same_have_no_half_way() -> None:
    lungs = replace(LUNGS, comfortable_low_l=0.0, comfortable_high_l=4.8)
    assert comfort([note("draw", 18.0)], lungs) == 1.0
    assert comfort([note("draw", 18.1)], lungs) == -math.inf


@given(tunes(least=1), players())
def test_the_margin_is_where_feasibility_ends(tune: list[Segment], lungs: Lungs) -> None:
    found = margin(tune, lungs, lungs.hard)
    assert found is not None
    for litres, fine in ((found.litres - 1e-7, True), (found.litres + 1e-7, False)):
        low_l, high_l = lungs.hard.low_l + litres, lungs.hard.high_l - litres
        if low_l <= high_l:
            assert keep_ledger(tune, lungs, Limits(low_l, high_l)).feasible is fine
        else:
            assert not fine  # nothing is left between the limits


@given(tunes(least=1), players())
def test_comfort_is_where_feasibility_ends(tune: list[Segment], lungs: Lungs) -> None:
    found = comfort(tune, lungs)
    if found > -100.0:
        assert keep_ledger(tune, lungs, lungs.limits(found - 1e-6)).feasible
    if found < 1.0:
        above = max(found + 1e-6, -100.0)
        assert not keep_ledger(tune, lungs, lungs.limits(above)).feasible


@given(tunes(least=1), players(), st.sampled_from([0.5, 2.0, 4.0]))
def test_twice_the_lungs_and_twice_the_air_is_twice_the_margin(
    tune: list[Segment], lungs: Lungs, times: float
) -> None:
    names = ["vital_capacity_l", "comfortable_low_l", "comfortable_high_l", "start_l"]
    names += ["easy_low_l", "easy_high_l", "breathe_in_l_per_s", "breathe_out_l_per_s"]
    larger = replace(lungs, **{name: getattr(lungs, name) * times for name in names})
    wide = [replace(segment, flow_l_per_s=segment.flow_l_per_s * times) for segment in tune]
    here, there = margin(tune, lungs, lungs.hard), margin(wide, larger, larger.hard)
    assert here is not None
    assert there == replace(here, litres=here.litres * times)


@given(tunes(least=1), players(), st.floats(0.0, 3.0))
def test_more_rest_never_takes_room_away(
    tune: list[Segment], lungs: Lungs, longer_s: float
) -> None:
    rested = [
        replace(s, duration_s=s.duration_s + longer_s) if s.kind == "open" else s for s in tune
    ]
    here, there = margin(tune, lungs, lungs.hard), margin(rested, lungs, lungs.hard)
    assert here is not None
    assert there is not None
    assert there.litres >= here.litres - 1e-9


@pytest.mark.slow
def test_rounding_over_100_000_segments() -> None:
    """Each bound in exact fractions, from sums over stretches instead of running maxima."""
    source = random.Random(4)
    kinds: list[Kind] = ["draw", "blow", "open"]
    tune = [
        note(source.choice(kinds), source.uniform(0.05, 0.5), source.uniform(0.1, 0.5))
        for _ in range(100_000)
    ]
    found = margin(tune, LUNGS, LUNGS.hard)
    assert found is not None
    assert found.litres == pytest.approx(float(_exact_margin(tune)), abs=1e-11)


def _exact_margin(tune: list[Segment]) -> Fraction:
    """What is left of the room by the steepest stretch, and by the worst one from the start."""
    rises = [Fraction(most) for least, most in shifts_of(tune, LUNGS)]
    falls = [Fraction(least) for least, most in shifts_of(tune, LUNGS)]
    low, high = Fraction(LUNGS.hard.low_l), Fraction(LUNGS.hard.high_l)
    up, down = _prefix_sums(falls), _prefix_sums(rises)
    start = Fraction(LUNGS.start_l)
    bounds = [high - start - max(up[1:]), start + min(down[1:]) - low, (high - low) / 2]
    lowest, highest = up[1], down[1]
    for end in range(2, len(tune) + 1):
        bounds += [(high - low - up[end] + lowest) / 2, (high - low + down[end] - highest) / 2]
        lowest, highest = min(lowest, up[end]), max(highest, down[end])
    return min(bounds)


def _prefix_sums(values: list[Fraction]) -> list[Fraction]:
    sums = [Fraction(0)]
    for value in values:
        sums.append(sums[-1] + value)
    return sums
