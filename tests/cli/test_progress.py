"""Progress: one line where a person watches, nothing elsewhere."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence

from reedwright.cli.progress import Progress
from reedwright.cli.terminal import Terminal


class Screen(io.StringIO):
    def isatty(self) -> bool:
        return True


def drawn(err: io.StringIO, steps: Sequence[tuple[float, float, float, str]]) -> str:
    """What is written for steps of (time, done, total, what)."""
    clock = iter([0.0, *(time_s for time_s, *_ in steps)])
    with Progress(Terminal(io.StringIO(), err, {}), lambda: next(clock)) as progress:
        for _, done, total, what in steps:
            progress.step(done, total, what)
    return err.getvalue()


def test_nothing_goes_into_a_file() -> None:
    assert drawn(io.StringIO(), [(0, 1, 2, "a"), (1, 2, 2, "b")]) == ""


def test_one_line_is_drawn_over_and_over_and_taken_away() -> None:
    text = drawn(Screen(), [(0.0, 0, 4, "one"), (4.0, 1, 4, "two"), (8.0, 4, 4, "three")])
    lines = [line for line in re.split("\r", text) if line]
    assert [line.removesuffix("\x1b[K") for line in lines] == [
        "........................   0% one",
        "======..................  25% about 12 s left, two",
        "======================== 100% three",
        "",
    ]
    assert "\n" not in text


def test_not_more_often_than_a_person_can_see() -> None:
    steps = [(0.001 * at, at, 1000, "x") for at in range(1000)]
    assert 8 <= drawn(Screen(), steps).count("\r") <= 12


def test_a_name_that_would_steer_the_terminal() -> None:
    assert "\x1b]" not in drawn(Screen(), [(0, 1, 2, "a\x1b]0;title\x07\nb")])


def test_a_long_wait_is_told_in_minutes() -> None:
    assert "about 5 min left" in drawn(Screen(), [(100.0, 1, 4, "x")])


def test_nothing_to_do() -> None:
    assert "100%" in drawn(Screen(), [(0.0, 0, 0, "x")])
