"""Thresholds of marking: they tighten with the level, and a wrong table is told whole."""

from __future__ import annotations

import itertools

import pytest

from reedwright.errors import SettingError
from reedwright.performance.marking import (
    OTHER,
    marking_table,
    read_marking_table,
    thresholds_for,
)
from reedwright.tune.techniques import ladder


def test_no_level_is_held_to_less_than_the_one_before() -> None:
    levels = [thresholds_for(level) for level in ladder().levels]
    for before, after in itertools.pairwise(levels):
        assert after.bend_cents <= before.bend_cents
        assert after.pitch_cents <= before.pitch_cents
        assert after.onset_ms <= before.onset_ms
        assert after.clean_share >= before.clean_share


def test_every_level_of_the_ladder_is_named() -> None:
    assert set(ladder().levels) <= set(marking_table())


def test_a_level_of_ones_own_gets_the_other_numbers() -> None:
    assert thresholds_for("Tuesday class") == thresholds_for("") == marking_table()[OTHER]
    assert thresholds_for(" Beginner ") == marking_table()["beginner"]


def test_all_faults_are_told_in_one_go() -> None:
    text = "[beginner]\nbend-cents = -1\npitch-cents = nan\nonset-ms = true\nsize = 3\n"
    with pytest.raises(SettingError) as caught:
        read_marking_table(text)
    said = str(caught.value)
    for name in (OTHER, "bend-cents", "pitch-cents", "onset-ms", "clean-share", "size"):
        assert name in said


@pytest.mark.parametrize("text", ["= 1", "[" * 5000, "other = 3"])
def test_what_is_no_table_is_one_clear_error(text: str) -> None:
    with pytest.raises(SettingError, match=r"marking\.toml|other"):
        read_marking_table(text)
