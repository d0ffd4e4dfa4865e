"""The state of one reading of a file: its name and every problem found so far."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from itertools import islice
from typing import TypeVar

from reedwright.errors import InputError, Place, Problem, ReedwrightError

T = TypeVar("T")

MAX_PROBLEMS = 100
"""Problems kept; a file with more is not a tune."""

_MAX_GUESSES = 300
"""Names looked through for one that is spelled alike, so that bad files cost no more time."""


class EnoughError(ReedwrightError):
    """The file has so many problems that reading on would help nobody."""


@dataclass(slots=True)
class Reading:
    """Collects problems so that a teacher mends a file in one go."""

    file: str = ""
    problems: list[Problem] = field(default_factory=list)
    torn: set[int] = field(default_factory=set)
    """Lines of the headings of blocks that hold a line nobody could read: what they lack, they may
    well have."""

    def add(self, line: int, column: int, found: str, rule: str = "", mend: str = "") -> None:
        """Note one problem. Errors: EnoughError, after MAX_PROBLEMS of them."""
        self._note(Problem(found, rule, mend, Place(line, column, self.file)))

    def attempt(self, read: Callable[[], T], line: int, column: int, instead: T) -> T:
        """What `read` gives; if it fails, its problems are noted here and `instead` is given."""
        try:
            return read()
        except InputError as error:
            self.keep(error, line, column)
            return instead

    def keep(self, error: InputError, line: int, column: int, before: str = "") -> None:
        """Note the problems of an error here; those of another file keep their own place."""
        for problem in error.problems:
            here = Place(line, column, self.file)
            place = problem.place if problem.place.line else here
            self._note(replace(problem, found=before + problem.found, place=place))

    def error_problems(self) -> tuple[Problem, ...]:
        """The problems from the first line to the last, and a word when there are too many."""
        problems = sorted(self.problems, key=lambda p: (p.place.line, p.place.column))
        if len(problems) < MAX_PROBLEMS:
            return tuple(problems)
        more = Problem(
            f"{MAX_PROBLEMS} problems found, and the reading stopped",
            "The first ones often cause the others",
            "mend these and try again",
            problems[-1].place,
        )
        return (*problems, more)

    def _note(self, problem: Problem) -> None:
        self.problems.append(problem)
        if len(self.problems) >= MAX_PROBLEMS:
            raise EnoughError


def nearest(name: str, names: Iterable[str]) -> str:
    """The name spelled most like this one, empty when there is none."""
    by_small = {other.lower(): other for other in islice(names, _MAX_GUESSES)}
    close = get_close_matches(name.lower(), by_small, n=1, cutoff=0.5)
    return by_small[close[0]] if close else ""
