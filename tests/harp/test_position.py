"""Positions, keys and modes."""

import pytest
from hypothesis import given

from reedwright.errors import HarpError
from reedwright.harp.harp import Harp, harp_named
from reedwright.harp.pitch import harp_key
from reedwright.harp.position import (
    degree_of,
    harp_key_for,
    mode_of,
    parse_position,
    position_key,
    position_name,
    position_of,
)
from tests.strategies_harp import harps, keys, positions


@given(harps, positions)
def test_a_position_and_its_key_find_each_other(harp: Harp, position: int) -> None:
    key = harp_key(position_key(harp, position))
    assert position_of(harp, key) == position
    assert harp_key_for(key, position, harp.tuning.label_position) == harp.key


@given(harps)
def test_the_label_is_the_key_of_the_label_position(harp: Harp) -> None:
    assert harp_key(position_key(harp, harp.tuning.label_position)) == harp.key


@given(keys, positions)
def test_a_wanted_key_is_had_on_the_harp_named(key: str, position: int) -> None:
    assert harp_key(position_key(harp_named(harp_key_for(key, position)), position)) == key


@given(positions)
def test_names_read_back(position: int) -> None:
    assert parse_position(position_name(position)) == position
    assert parse_position(f" {position} ") == position


@pytest.mark.parametrize(
    ("text", "position"),
    [("2nd", 2), ("CROSS", 2), ("Third (slant) position", 3), ("11th", 11), ("twelfth", 12)],
)
def test_ways_to_write_a_position(text: str, position: int) -> None:
    assert parse_position(text) == position


@pytest.mark.parametrize("text", ["", "0", "13", "2 3", "2rd", "cross third", "x" * 10**6, "²"])
def test_what_is_no_position_is_refused(text: str) -> None:
    with pytest.raises(HarpError) as caught:
        parse_position(text)
    assert str(caught.value).endswith(
        "Positions run from 1 to 12. Mend: write it like 2, second or cross."
    )


@pytest.mark.parametrize("position", [0, -1, 13])
def test_numbers_out_of_range_are_refused(position: int) -> None:
    for call in (position_key, mode_of):
        with pytest.raises(HarpError, match=f"unknown position '{position}'"):
            call(harp_named("C"), position)


@pytest.mark.parametrize(
    ("name", "position", "mode"),
    [
        ("A natural minor", 2, "Aeolian"),
        ("C country", 2, ""),  # 5 draw F#, 9 draw F
        ("C harmonic minor", 1, "harmonic minor"),
        ("C harmonic minor", 2, ""),
        ("C solo", 3, "Dorian"),
        ("C", 7, ""),
    ],
)
def test_the_mode_follows_from_the_reeds(name: str, position: int, mode: str) -> None:
    assert mode_of(harp_named(name), position) == mode


def test_degrees() -> None:
    names = [degree_of(midi, 7) for midi in range(67, 79)]
    assert names == ["1", "b2", "2", "b3", "3", "4", "b5", "5", "b6", "6", "b7", "7"]
