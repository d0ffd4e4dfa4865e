"""The concrete plan: it can be breathed, it keeps to the limits, it is calm where it may be."""

import random
from dataclasses import replace

import pytest
from hypothesis import given

from reedwright.breath.ledger import Segment, keep_ledger
from reedwright.breath.lungs import Limits, Lungs
from reedwright.breath.margin import comfort
from reedwright.breath.plan import Plan, breathing_plan, curve, easiest_plan
from tests.breath.cases import LUNGS, note, players, random_tune, tunes


def assert_can_be_breathed(tune: list[Segment], lungs: Lungs, plan: Plan) -> None:
    """By the plain rules, not through the room's own functions."""
    assert plan.volume_l[0] == lungs.start_l
    assert len(plan.volume_l) == len(tune) + 1
    assert len(plan.breathed_l) == len(tune)
    for index, segment in enumerate(tune):
        before_l, after_l, breath_l = (
            plan.volume_l[index],
            plan.volume_l[index + 1],
            plan.breathed_l[index],
        )
        air_l = segment.flow_l_per_s * segment.duration_s
        signed_l = air_l if segment.kind == "draw" else -air_l
        assert after_l == pytest.approx(before_l + signed_l + breath_l, abs=1e-12)
        if segment.kind == "open":
            assert breath_l <= lungs.breathe_in_l_per_s * segment.duration_s
            assert breath_l >= -lungs.breathe_out_l_per_s * segment.duration_s
        else:
            assert breath_l == 0.0
        assert plan.limits.low_l - 1e-9 <= after_l <= plan.limits.high_l + 1e-9
        assert plan.low_l[index + 1] - 1e-9 <= after_l <= plan.high_l[index + 1] + 1e-9


@given(tunes(), players())
def test_there_is_a_plan_exactly_when_the_ledger_says_so(tune: list[Segment], lungs: Lungs) -> None:
    for limits in (lungs.hard, lungs.comfortable):
        plan = breathing_plan(tune, lungs, limits)
        assert (plan is not None) is keep_ledger(tune, lungs, limits).feasible
        if plan is not None:
            assert_can_be_breathed(tune, lungs, plan)


@given(tunes(), players())
def test_the_easiest_plan_is_as_comfortable_as_the_tune_allows(
    tune: list[Segment], lungs: Lungs
) -> None:
    plan = easiest_plan(tune, lungs)
    if not keep_ledger(tune, lungs, lungs.hard).feasible:
        assert plan is None
        return
    assert plan is not None
    assert_can_be_breathed(tune, lungs, plan)
    nearest = lungs.limits(max(comfort(tune, lungs), 0.0))
    assert plan.limits.low_l == pytest.approx(nearest.low_l, abs=1e-8)
    assert plan.limits.high_l == pytest.approx(nearest.high_l, abs=1e-8)


def test_a_comfortable_tune_gets_the_comfortable_limits_themselves() -> None:
    plan = easiest_plan([note("draw", 2.0)], LUNGS)
    assert plan is not None
    assert plan.limits == LUNGS.comfortable


def test_within_the_easy_band_nobody_breathes_without_need() -> None:
    plan = breathing_plan([note("draw", 1.0), note("open", 1.0)], LUNGS, LUNGS.hard)
    assert plan is not None
    assert plan.breathed_l == (0.0, 0.0)


def test_above_the_easy_band_the_player_breathes_out_down_to_it() -> None:
    plan = breathing_plan([note("draw", 5.0), note("open", 1.0)], LUNGS, LUNGS.hard)
    assert plan is not None
    assert plan.volume_l == pytest.approx((1.2, 2.2, 1.7))
    assert plan.breathed_l == pytest.approx((0.0, -0.5))


def test_a_short_rest_goes_as_far_towards_the_band_as_the_rates_allow() -> None:
    plan = breathing_plan([note("draw", 10.0), note("open", 0.1)], LUNGS, LUNGS.hard)
    assert plan is not None
    assert plan.breathed_l[1] == pytest.approx(-0.15)


def test_the_plan_looks_ahead_and_empties_before_a_long_draw() -> None:
    """4 litres are to come and the second rest gives only 0.15: out to 0.95 in the first one."""
    tune = [note("open", 2.0), note("blow", 0.5), note("open", 0.1), note("draw", 20.0)]
    plan = breathing_plan(tune, LUNGS, LUNGS.hard)
    assert plan is not None
    assert plan.volume_l == pytest.approx((1.2, 1.05, 0.95, 0.8, 4.8))
    assert_can_be_breathed(tune, LUNGS, plan)


def test_the_plan_fills_before_a_long_blow() -> None:
    tune = [note("draw", 1.0), note("open", 2.0), note("blow", 20.0)]
    plan = breathing_plan(tune, LUNGS, LUNGS.comfortable)
    assert plan is None
    plan = breathing_plan(tune, LUNGS, LUNGS.hard)
    assert plan is not None
    assert plan.volume_l == pytest.approx((1.2, 1.4, 4.0, 0.0), abs=1e-9)


def test_the_corridor_holds_every_possible_volume_and_no_other() -> None:
    """Each end of the corridor is reached by a plan forced there; beyond it there is none."""
    tune = [note("draw", 3.0), note("open", 0.5), note("draw", 12.0), note("open", 0.3)]
    plan = breathing_plan(tune, LUNGS, LUNGS.hard)
    assert plan is not None
    for volume_l, fine in (
        (plan.low_l[2] + 1e-9, True),
        (plan.high_l[2] - 1e-9, True),
        (plan.low_l[2] - 1e-6, False),
        (plan.high_l[2] + 1e-6, False),
    ):
        breath_l = volume_l - 1.8
        reached = -0.75 <= breath_l <= 0.75
        onward = keep_ledger(tune[2:], replace(LUNGS, start_l=volume_l), LUNGS.hard).feasible
        assert (reached and onward) is fine


def test_the_same_tune_gives_the_same_plan() -> None:
    tune = random_tune(random.Random(5))
    assert breathing_plan(tune, LUNGS, Limits(-99, 99)) == breathing_plan(
        list(tune), LUNGS, Limits(-99, 99)
    )


def test_limits_hold_over_a_hundred_thousand_tight_segments() -> None:
    """At the very edge of what is possible, where roundings could add up."""
    source = random.Random(6)
    tune = [s for _ in range(8_000) for s in random_tune(source, 25) if s.duration_s <= 0.3]
    assert len(tune) > 50_000
    lungs = replace(LUNGS, breathe_in_l_per_s=3.0, breathe_out_l_per_s=3.0)
    plan = easiest_plan(tune, replace(lungs, vital_capacity_l=200.0))
    assert plan is not None
    assert plan.limits != lungs.comfortable
    assert_can_be_breathed(tune, lungs, plan)


def test_the_curve_has_the_plan_inside_its_corridor() -> None:
    tune = [note("draw", 3.0), note("open", 0.5), note("blow", 4.0)]
    ledger = keep_ledger(tune, LUNGS, LUNGS.hard)
    points = [*curve(tune, ledger, breathing_plan(tune, LUNGS, LUNGS.hard))]
    assert [point.time_s for point in points] == [0.0, 3.0, 3.5, 7.5]
    for point in points:
        assert point.planned_l is not None
        assert point.low_l <= point.planned_l <= point.high_l
    assert points[2].low_l == pytest.approx(1.05)  # 1.8 - 0.5 s · 1.5


def test_without_a_plan_the_curve_ends_before_the_failure() -> None:
    tune = [note("draw", 10.0), note("draw", 10.0), note("open", 1.0)]
    ledger = keep_ledger(tune, LUNGS, LUNGS.hard)
    points = [*curve(tune, ledger, None)]
    assert [(point.time_s, point.planned_l) for point in points] == [(0.0, None), (10.0, None)]
    assert points[1].low_l == points[1].high_l == pytest.approx(3.2)
