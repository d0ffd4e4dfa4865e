"""Lungs and the air of a note. Flows are from memory: their rules are tested, not their truth."""

import math
from dataclasses import replace

import pytest

from reedwright.breath.lungs import Limits
from reedwright.errors import SettingError
from reedwright.tune.marks import Loudness
from tests.breath.cases import LUNGS


def test_flow_grows_with_reeds_loudness_and_bend() -> None:
    assert LUNGS.flow_l_per_s("draw") == LUNGS.draw_l_per_s
    assert LUNGS.flow_l_per_s("blow", 3) == pytest.approx(0.2 * (1 + 2 * 0.7))
    assert LUNGS.flow_l_per_s("draw", bend_semitones=3) == pytest.approx(0.2 * 1.45)
    by_loudness = [LUNGS.flow_l_per_s("draw", loudness=level) for level in Loudness]
    assert by_loudness == sorted(by_loudness)
    assert by_loudness[2] == LUNGS.draw_l_per_s


def test_each_direction_has_its_own_flow() -> None:
    lungs = replace(LUNGS, draw_l_per_s=0.3, blow_l_per_s=0.1)
    assert lungs.flow_l_per_s("draw", 2) == pytest.approx(3 * lungs.flow_l_per_s("blow", 2))


@pytest.mark.parametrize(
    ("reeds", "loudness", "bend"),
    [(0, "medium", 0), (1, "shouted", 0), (1, "medium", -1), (1, "medium", math.nan)],
)
def test_impossible_notes_have_no_flow(reeds: int, loudness: Loudness, bend: float) -> None:
    with pytest.raises(SettingError, match="flow of"):
        LUNGS.flow_l_per_s("draw", reeds, loudness, bend)


def test_the_gap_is_never_more_than_its_share_of_the_note() -> None:
    assert LUNGS.gap_s(1.0) == 0.06
    assert LUNGS.gap_s(0.1) == pytest.approx(0.025)
    assert LUNGS.gap_s(0.0) == 0.0


def test_limits_between_hard_and_comfortable() -> None:
    assert LUNGS.limits(0.0) == LUNGS.hard == Limits(0.0, 4.8)
    assert LUNGS.limits(1.0) == LUNGS.comfortable == Limits(0.6, 4.0)
    assert LUNGS.limits(0.5).low_l == pytest.approx(0.3)
    assert LUNGS.limits(0.5).high_l == pytest.approx(4.4)


def test_limits_the_wrong_way_round() -> None:
    with pytest.raises(SettingError) as caught:
        Limits(2.0, 1.0)
    assert str(caught.value) == (
        "lung limits from 2.0 to 1.0 litres. The lower limit comes first, both are numbers."
    )


@pytest.mark.parametrize("bad", [math.nan, math.inf, -0.1])
def test_numbers_that_are_none(bad: float) -> None:
    with pytest.raises(SettingError, match="start_l is"):
        replace(LUNGS, start_l=bad)
    with pytest.raises(SettingError, match="lung limits"):
        Limits(0.0, bad)


def test_every_pair_in_the_wrong_order_is_named() -> None:
    with pytest.raises(SettingError) as caught:
        replace(LUNGS, vital_capacity_l=3.0, start_l=0.1)
    found = [problem.found for problem in caught.value.problems]
    assert found == [
        "comfortable_high_l (4) lies above vital_capacity_l (3)",
        "comfortable_low_l (0.6) lies above start_l (0.1)",
    ]
    assert caught.value.problems[0].mend == "lower comfortable_high_l or raise vital_capacity_l"
