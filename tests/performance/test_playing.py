"""Curves and played notes as values."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.performance.playing import Curve, level
from tests.performance.playtunes import play_bars

milliseconds = st.integers(0, 100_000).map(lambda ms: ms / 1000)
points = st.lists(
    st.tuples(milliseconds, st.floats(-500, 500)), min_size=1, max_size=20, unique_by=lambda p: p[0]
).map(sorted)


@given(points, st.floats(-10, 110))
def test_a_curve_is_straight_between_its_points(pairs: list, time_s: float) -> None:
    """Against a formula of its own: a weighted sum of the points' tent functions."""
    times_s, values = zip(*pairs, strict=True)
    here_s = min(max(time_s, times_s[0]), times_s[-1])
    expected = 0.0
    for n, (at_s, value) in enumerate(pairs):
        sides = [times_s[k] for k in (n - 1, n + 1) if 0 <= k < len(times_s)]
        side_s = next((s for s in sides if (s - at_s) * (here_s - at_s) > 0), None)
        near = 1.0 if here_s == at_s else 0.0
        if side_s is not None:
            near = max(0.0, 1 - abs(here_s - at_s) / abs(side_s - at_s))
        expected += value * near
    assert Curve(times_s, values).at(time_s) == pytest.approx(expected, abs=1e-6)


def test_a_step_and_a_level() -> None:
    step = Curve((0.0, 1.0, 1.0, 2.0), (0.0, 0.0, 5.0, 5.0))
    assert [step.at(t) for t in (0.5, 1.0, 1.5, 9.0)] == [0, 5, 5, 5]
    assert level(3.0).at(-7.0) == 3


@pytest.mark.parametrize(
    ("times_s", "values"),
    [((), ()), ((0.0, 1.0), (1.0,)), ((1.0, 0.0), (0.0, 0.0))],
)
def test_curves_that_cannot_be(times_s: tuple[float, ...], values: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="as many values as rising times"):
        Curve(times_s, values)


@pytest.mark.parametrize("bad", [float("nan"), float("inf")])
def test_what_is_not_a_number_is_stopped_at_the_edge(bad: float) -> None:
    with pytest.raises(ValueError, match="Performance: a curve holds a number that is not finite"):
        Curve((0.0, 1.0), (0.0, bad))
    playing = play_bars("4d 5d 4x5d .")[2]
    for wrong in ({"played_s": bad}, {"switch_s": (bad,)}, {"played_end_s": playing.played_s}):
        with pytest.raises(ValueError, match=r"Performance: only:1\.3\.1@1\.1 is played"):
            replace(playing, **wrong)


def test_when_the_holes_beside_a_note_sound() -> None:
    raked, slapped, pulled = play_bars("2>4d 4ds 4dp .")
    assert [(round(s, 6), round(e, 6), str(n)) for s, e, n in raked.passing] == [
        (-0.06, -0.03, "2d"),
        (-0.03, 0.0, "3d"),
    ]
    assert [(s, e, str(n)) for s, e, n in slapped.passing] == [(0, 0.03, "2d"), (0, 0.03, "3d")]
    assert [(round(s, 6), e, str(n)) for s, e, n in pulled.passing] == [
        (round(pulled.length_s - 0.09, 6), pulled.length_s, "2d"),
        (round(pulled.length_s - 0.09, 6), pulled.length_s, "3d"),
    ]
