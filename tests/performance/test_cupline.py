"""The hands over a note. Figures: our own, `habits`."""

from itertools import pairwise

import pytest

from reedwright.performance.cupline import cup_line
from reedwright.tune.marks import Cup
from tests.performance.playtunes import note_of, samples


@pytest.mark.parametrize(("cup", "open_"), [(Cup.OPEN, 1.0), (Cup.CLOSED, 0.0)])
def test_hands_at_rest(cup: Cup, open_: float) -> None:
    assert set(samples(cup_line(note_of("4d", cup=cup)), 1.0)) == {open_}


@pytest.mark.parametrize(("token", "openings"), [("4dw", 4), ("4dw@3", 12), ("4dw@0.5", 2)])
def test_a_wah_opens_at_its_rate_from_closed(token: str, openings: int) -> None:
    line = cup_line(note_of(token, 4.0))
    values = samples(line, 4.0)
    assert values[0] == 0
    assert [min(values), max(values)] == pytest.approx([0, 1], abs=0.01)
    assert sum(a < 0.5 <= b for a, b in pairwise(values)) == openings


def test_a_moving_cup_is_in_step_with_the_count() -> None:
    on_beat = cup_line(note_of("4d", 2.0, cup=Cup.MOVING))  # begins on beat 2 of 60 a minute
    assert [on_beat.at(t) for t in (0, 0.5, 1, 1.5)] == pytest.approx([0, 1, 0, 1])


@pytest.mark.parametrize(("cup", "low", "high"), [(Cup.OPEN, 0.6, 1), (Cup.CLOSED, 0, 0.4)])
def test_hand_vibrato_leaves_the_place_of_the_hands(cup: Cup, low: float, high: float) -> None:
    values = samples(cup_line(note_of("4dh", 2.0, cup=cup)), 2.0)
    later = values[1000:]
    assert [min(later), max(later)] == pytest.approx([low, high], abs=0.01)
    assert len(set(values[:200])) == 1


def test_hands_begin_where_they_were_left() -> None:
    line = cup_line(note_of("4d", hands=0.2))
    assert [line.at(t) for t in (0, 0.05, 0.1, 1)] == pytest.approx([0.2, 0.6, 1, 1])


def test_hands_have_moved_in_a_rest() -> None:
    half_way = cup_line(note_of("4d", hands=0.0, rest_s=0.05))
    assert [half_way.at(t) for t in (0, 0.1)] == pytest.approx([0.5, 1])
    assert cup_line(note_of("4d", hands=0.0, rest_s=0.1)).values == (1.0,)


def test_a_short_note_has_its_hands_in_half_of_it() -> None:
    line = cup_line(note_of("4d", 0.04, hands=0.0))
    assert [line.at(t) for t in (0, 0.01, 0.02, 0.04)] == pytest.approx([0, 0.5, 1, 1])
