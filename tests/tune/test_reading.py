"""Collecting problems, up to a point."""

import pytest

from reedwright.errors import Place, Problem, TuneError
from reedwright.tune.reading import MAX_PROBLEMS, EnoughError, Reading, nearest


def test_problems_get_the_place_where_they_were_met() -> None:
    reading = Reading("x.reed")

    def fail() -> int:
        raise TuneError((Problem("a"), Problem("b", place=Place(7, 1, "other.toml"))))

    assert reading.attempt(fail, 3, 4, instead=5) == 5
    assert reading.attempt(lambda: 6, 3, 4, instead=5) == 6
    assert [str(problem.place) for problem in reading.problems] == ["x.reed:3:4", "other.toml:7:1"]


def test_a_hundred_problems_are_enough() -> None:
    reading = Reading()
    for line in range(MAX_PROBLEMS, 1, -1):
        reading.add(line, 1, f"line {line}")
    with pytest.raises(EnoughError):
        reading.add(1, 1, "line 1")
    assert len(reading.problems) == MAX_PROBLEMS
    *problems, last = reading.error_problems()
    assert [problem.place.line for problem in problems] == list(range(1, MAX_PROBLEMS + 1))
    assert last.found == "100 problems found, and the reading stopped"
    assert last.place.line == MAX_PROBLEMS


def test_the_nearest_name() -> None:
    assert nearest("kall", ["Answer", "Call", "Turn"]) == "Call"
    assert nearest("zzz", ["Answer", "Call"]) == ""
    assert nearest("x", []) == ""
    assert (
        nearest("L9999", (f"L{n}" for n in range(10_000))) != "L9999"
    )  # it looks at the first few
