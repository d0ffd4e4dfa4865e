"""Hostile and clumsy tables: one clear error each, in bounded time."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import HarpError, Problem
from reedwright.harp.temperament import read_temperament, temperament_from_table
from reedwright.harp.tomltable import MAX_CHARS, MAX_PROBLEMS, Table, written
from reedwright.harp.tuning import read_tuning, tuning_from_table

_FORM = "The file is TOML: `key = value` on each line. Mend: see docs/tunings.md for examples."


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("name = ", "x:1:8: Invalid value. " + _FORM),
        ("\n\nblow == 3", "x:3:7: Invalid value. " + _FORM),
        ("a = " + "[" * 10_000, "x: tables nested too deep. " + _FORM),
        ("a = " + "9" * 5000, "x: a number too long to read. " + _FORM),
        ("#" * (MAX_CHARS + 1), "x: 100001 characters. 100000 at most are read. Mend: shorten it."),
    ],
)
def test_text_that_cannot_be_read(text: str, message: str) -> None:
    for read in (read_tuning, read_temperament):
        with pytest.raises(HarpError) as caught:
            read(text, "x")
        assert str(caught.value) == message


def test_a_hexadecimal_number_of_any_length_is_a_huge_number() -> None:
    with pytest.raises(HarpError, match="label_position = a huge number"):
        read_tuning('base = "richter"\nlabel_position = 0x' + "f" * 50_000, "x")


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("a", "'a'"),
        (True, "true"),
        (1.5, "1.5"),
        (10**12, "a huge number"),
        ({}, "a table"),
        ([1, 2], "a list of 2"),
        ("y" * 999, repr("y" * 40 + "…")),
    ],
)
def test_values_are_quoted_short(value: object, text: str) -> None:
    assert written(value) == text


_toml_values = st.recursive(
    st.one_of(st.booleans(), st.integers(), st.floats(), st.text(max_size=70)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=17), st.dictionaries(st.text(max_size=3), inner, max_size=4)
    ),
    max_leaves=20,
)
_KEYS = "name base blow draw change label_position valves button source ratios cents blend of 3d"


@given(st.dictionaries(st.sampled_from(_KEYS.split()), _toml_values))
def test_any_table_is_understood_or_refused_with_its_faults(values: dict[str, object]) -> None:
    for made in (tuning_from_table, temperament_from_table):
        faults: tuple[Problem, ...] | None = None
        try:
            made(values)
        except HarpError as error:
            faults = error.problems
        assert faults is None or (
            faults and all(fault.found and fault.rule and fault.mend for fault in faults)
        )


@given(st.text(max_size=200))
def test_any_text_is_understood_or_refused(text: str) -> None:
    for read in (read_tuning, read_temperament):
        with contextlib.suppress(HarpError):
            assert read(text, "x").name


def test_a_fault_stands_where_its_key_is_written() -> None:
    table = Table.parse('name = "a"\n  "3d" = 1\n', "f")
    table.bad("3d", "wrong", "right", "mend")
    assert str(table.problems[0]) == "f:2:3: wrong. right. Mend: mend."


def test_a_table_of_nothing_but_faults_is_given_up_early() -> None:
    text = "\n".join(f"k{number} = 1" for number in range(9000))
    table = Table.parse(text, "x")
    with pytest.raises(HarpError) as caught:
        table.allow("name")
    assert len(caught.value.problems) == MAX_PROBLEMS
    assert all(problem.mend for problem in caught.value.problems)
