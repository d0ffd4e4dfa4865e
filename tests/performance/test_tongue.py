"""Attacks, rakes, slaps, pulls and shakes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.harp.harp import harp_named
from reedwright.performance.playing import Attack
from reedwright.performance.tongue import (
    blocked,
    neighbours,
    rake_lead_s,
    raked,
    swept,
    switches_s,
)
from reedwright.tune.tokens import parse_sound

C = harp_named("C")


@pytest.mark.parametrize(
    ("token", "passed"),
    [
        ("1>4d", "1d 2d 3d"),
        ("6>4b", "6b 5b"),
        ("4>4d", ""),
        ("1>2+3d", "1d"),
        ("5>2+3d", "5d 4d"),
        ("1>4d'", "1d 2d 3d"),
        ("16>9d", "10d"),
        ("4d", ""),
    ],
)
def test_the_way_of_a_rake(token: str, passed: str) -> None:
    assert " ".join(map(str, raked(parse_sound(token), C))) == passed


@pytest.mark.parametrize(
    ("token", "beside"),
    [
        ("4ds", "2d 3d"),
        ("2ds", "1d"),
        ("1bs", "2b 3b"),
        ("1+4bs", "2b 3b"),
        ("3+4dp", "1d 2d"),
        ("4d'p", "2d 3d"),
    ],
)
def test_the_holes_under_the_tongue(token: str, beside: str) -> None:
    assert " ".join(map(str, neighbours(parse_sound(token), C))) == beside


@pytest.mark.parametrize(
    ("token", "expected"),
    [("4d", False), ("4dt", True), ("4ds", True), ("1+4b", True), ("1+2b", False), ("4x5d", False)],
)
def test_what_is_tongue_blocked(token: str, expected: bool) -> None:
    assert blocked(parse_sound(token)) is expected


def test_a_rake_leaves_out_the_farthest_holes_where_time_is_short() -> None:
    sound = parse_sound("1>6d")
    assert rake_lead_s(sound, C, 3.0) == pytest.approx(0.15)
    assert rake_lead_s(sound, C, 0.09) == pytest.approx(0.03)
    passed = swept(Attack.RAKE, sound, C, 0.03, 0.1)
    assert [(round(start_s, 6), str(note)) for start_s, note in passed] == [
        (-0.03, "3d"),
        (-0.02, "4d"),
        (-0.01, "5d"),
    ]
    assert swept(Attack.RAKE, sound, C, 0.0, 0.1) == ()


def test_slap_and_pull() -> None:
    assert [start_s for start_s, _ in swept(Attack.SLAP, parse_sound("4ds"), C, 0, 1.0)] == [0, 0]
    pulled = swept(Attack.PULL, parse_sound("4dp"), C, 0, 1.0)
    assert [start_s for start_s, _ in pulled] == pytest.approx([0.91, 0.91])
    assert swept(Attack.TONGUE, parse_sound("4d"), C, 1.0, 1.0) == ()


@given(st.integers(1, 16), st.floats(0.02, 8), st.floats(0.15, 3))
def test_a_shake_at_its_rate(rate: int, length_s: float, beat_s: float) -> None:
    switches = switches_s(parse_sound(f"4x5d@{rate}"), length_s, beat_s)
    step_s = max(beat_s / rate, 1 / 25)
    assert list(switches) == pytest.approx([step_s * n for n in range(1, len(switches) + 1)])
    assert len(switches) == pytest.approx(length_s / step_s, abs=1.06)


@given(st.floats(0.02, 8))
def test_a_shake_left_to_the_player(length_s: float) -> None:
    switches = switches_s(parse_sound("4x5d"), length_s, 1.0)
    assert len(switches) % 2 == 1  # it ends on its other hole
    steps = [*switches, length_s]
    step_s = length_s / len(steps)
    assert steps == pytest.approx([step_s * n for n in range(1, len(steps) + 1)])
    assert length_s < 0.2 or 1 / 16 < step_s < 1 / 6


def test_no_shake_no_switch() -> None:
    assert switches_s(parse_sound("4d"), 1.0, 1.0) == ()
