"""Lines quoted beneath a fault: what is shown, and what a sign under them points at."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.tune.quote import quoted


@pytest.mark.parametrize(
    ("line", "column", "shown"),
    [
        ("1: 4d 9z", 7, ("1: 4d 9z", 6, 6)),
        ("1: 4d", 6, ("1: 4d", 5, 5)),  # where something is missing
        ("1: 4d", 99, ("1: 4d", 5, 5)),
        ("1: 4d", 0, ("1: 4d", 0, 0)),
        ("", 1, ("", 0, 0)),
        ("\t4d\x1b[2J", 2, (" 4d [2J", 1, 1)),
        ("é 日本 4z", 6, ("é 日本 4z", 5, 7)),
        ("e\u0301 4z", 4, ("e\u0301 4z", 3, 2)),
    ],
)
def test_what_is_shown(line: str, column: int, shown: tuple[str, int, int]) -> None:
    assert quoted(line, column, 80) == shown


@given(st.text(max_size=300), st.integers(0, 400), st.integers(2, 100))
def test_the_character_meant_is_always_among_those_shown(
    line: str, column: int, width: int
) -> None:
    shown = quoted(line, column, width)
    assert len(shown.text) <= width
    assert shown.text.isprintable()
    if 0 < column <= len(line):
        assert shown.text[shown.at] == (line[column - 1] if line[column - 1].isprintable() else " ")
