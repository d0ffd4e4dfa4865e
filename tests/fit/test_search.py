"""The search against every tab there is, on small cases of every kind."""

from __future__ import annotations

from itertools import islice, product

from hypothesis import given
from hypothesis import strategies as st

from reedwright.fit.costs import Costs
from reedwright.fit.effort import effort
from reedwright.fit.search import Found, Search, Timing
from reedwright.fit.ways import Way, Ways
from reedwright.harp.tuning import tuning_named

COSTS = Costs(effort())
WAYS = {name: Ways(tuning_named(name)) for name in ("Richter", "solo", "country", "natural minor")}


@st.composite
def cases(draw: st.DrawFn) -> tuple[list[tuple[Way, ...]], Timing]:
    """Layers of up to four ways each, some of pitches that many holes give."""
    ways = WAYS[draw(st.sampled_from(sorted(WAYS)))]
    playable = [pitch for pitch in range(37) if ways.of((pitch,))]
    pitches = draw(st.lists(st.sampled_from(playable), min_size=1, max_size=7))
    times = st.sampled_from([0.05, 0.12, 0.25, 0.25, 0.5, 1.0, 3.0])
    count = len(pitches)
    lengths_s = draw(st.lists(times, min_size=count, max_size=count))
    times_s = draw(st.lists(times, min_size=count - 1, max_size=count - 1))
    return [ways.of((pitch,)) for pitch in pitches], Timing(tuple(lengths_s), tuple(times_s))


def cost_of(ways: tuple[Way, ...], timing: Timing) -> int:
    """The sum as it is written down, term by term."""
    notes = sum(
        COSTS.note(way, length_s) for way, length_s in zip(ways, timing.lengths_s, strict=True)
    )
    moves = sum(
        COSTS.move(before, after, COSTS.time_s(time_s))
        for before, after, time_s in zip(ways[:-1], ways[1:], timing.times_s, strict=True)
    )
    return notes + moves


def every_tab(layers: list[tuple[Way, ...]], timing: Timing) -> list[Found]:
    """All tabs by cost, of equals the one with earlier ways first."""
    return sorted(
        (Found(ways, cost_of(ways, timing)) for ways in product(*layers)),
        key=lambda found: found.cost,  # a stable sort keeps the order of `product`
    )


@given(cases())
def test_the_best_is_the_best_of_all(case: tuple[list[tuple[Way, ...]], Timing]) -> None:
    layers, timing = case
    search = Search(layers, timing, COSTS)
    best = every_tab(layers, timing)[0]
    assert search.best() == best
    assert search.least == best.cost


@given(cases())
def test_the_others_come_in_order_and_none_twice(
    case: tuple[list[tuple[Way, ...]], Timing],
) -> None:
    layers, timing = case
    found = list(Search(layers, timing, COSTS).in_order())
    expected = every_tab(layers, timing)
    assert [each.cost for each in found] == [each.cost for each in expected]
    assert {each.ways for each in found} == {each.ways for each in expected}
    assert len(found) == len(expected)
    assert found[0] == expected[0]


def test_nothing_to_play() -> None:
    search = Search([], Timing((), ()), COSTS)
    assert search.best() == Found((), 0)
    assert list(search.in_order()) == [Found((), 0)]
    assert search.least == 0


def test_many_tabs_of_a_long_melody_come_one_by_one() -> None:
    ways = WAYS["Richter"].of((7,))
    assert len(ways) == 2  # 2 draw and 3 blow
    timing = Timing((0.5,) * 400, (0.5,) * 399)
    costs = [each.cost for each in islice(Search([ways] * 400, timing, COSTS).in_order(), 500)]
    assert costs == sorted(costs)
    assert len(costs) == 500
