"""The state of one reading of a file: its name and every problem found so far."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TypeVar

from reedwright.errors import InputError, Place, Problem

T = TypeVar("T")

MAX_PROBLEMS = 100
"""Problems kept; a file with more is not a tune."""


@dataclass(slots=True)
class Reading:
    """Collects problems so that a teacher mends a file in one go."""

    file: str = ""
    problems: list[Problem] = field(default_factory=list)

    def add(self, line: int, column: int, found: str, rule: str = "", mend: str = "") -> None:
        """Note one problem."""
        self._keep(Problem(found, rule, mend, Place(line, column, self.file)))

    def attempt(self, read: Callable[[], T], line: int, column: int, instead: T) -> T:
        """What `read` gives; if it fails, its problems are noted here and `instead` is given."""
        try:
            return read()
        except InputError as error:
            for problem in error.problems:
                self._keep(replace(problem, place=Place(line, column, self.file)))
            return instead

    def _keep(self, problem: Problem) -> None:
        if len(self.problems) < MAX_PROBLEMS:
            self.problems.append(problem)
