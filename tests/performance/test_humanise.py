"""Human timing: numbers from texts, their spread, and a drift without corners."""

import statistics
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.performance.humanise import Shifts, noticeable_s, spread, uniform
from tests.performance.tunes import PICKUP, played


@given(st.text())
def test_numbers_from_a_text(key: str) -> None:
    numbers = uniform(key)
    assert numbers == uniform(key)
    assert all(0 < number <= 1 for number in numbers)
    assert numbers != uniform(key + "x")


def test_the_spread_is_normal() -> None:
    drawn = [spread(f"{n}") for n in range(4000)]
    # Standard errors: 0.016 for the mean, 0.011 for the deviation; four of each are allowed.
    assert abs(statistics.fmean(drawn)) < 0.064
    assert abs(statistics.stdev(drawn) - 1) < 0.045
    assert 0.66 < sum(abs(x) < 1 for x in drawn) / 4000 < 0.71  # 68.3 % of a normal spread


def test_shifts_are_mostly_far_below_what_is_noticed() -> None:
    performance = played(PICKUP, 90)
    limit_s = noticeable_s(performance.seconds(1))
    shifts = [
        Shifts(performance, seed, 1.0).shift_s(timed, 1.0)
        for seed in range(100)
        for timed in performance.events
    ]
    assert max(map(abs, shifts)) <= limit_s
    assert 0.35 * limit_s < statistics.pstdev(shifts) < 0.55 * limit_s
    assert sum(abs(shift) < 0.99 * limit_s for shift in shifts) / len(shifts) > 0.95
    assert abs(statistics.fmean(shifts)) < 0.1 * limit_s


def test_neighbours_wander_together() -> None:
    """Shifts of notes of one bar agree more than those of different seeds do."""
    performance = played(PICKUP, 90)
    one, other = performance.events[2], performance.events[3]
    pairs = [
        [Shifts(performance, seed, 1.0).shift_s(timed, 1.0) for timed in (one, other)]
        for seed in range(400)
    ]
    together = statistics.correlation([a for a, _ in pairs], [b for _, b in pairs])
    assert 0.25 < together < 0.6  # drift² / (drift² + jitter²) = 0.42, less by what is clipped


def test_the_drift_has_no_step_at_a_bar_line() -> None:
    performance = played(PICKUP, 90)
    shifts = Shifts(performance, 5, 1.0)
    (first, *_) = performance.events
    before, there, after = (
        shifts._drift(replace(first, event=replace(first.event, start=4 + Fraction(step, 1000))))
        for step in (-1, 0, 1)
    )
    assert abs(before - there) < 1e-5
    assert abs(after - there) < 1e-5


def test_a_neighbour_holds_a_note_back() -> None:
    performance = played(PICKUP, 90)
    shifts = Shifts(performance, 1, 1.0)
    for timed in performance.events:
        assert abs(shifts.shift_s(timed, 0.004)) <= 0.001
        assert Shifts(performance, 1, 0.0).shift_s(timed, 1.0) == 0


@pytest.mark.parametrize(("bpm", "limit_s"), [(60, 0.0125), (120, 0.00625), (200, 0.006)])
def test_what_is_noticed_in_eighths(bpm: int, limit_s: float) -> None:
    assert noticeable_s(60 / bpm) == pytest.approx(limit_s)
