"""What the desk refuses, as a status and a problem: found, rule, mend, and where it can be said.

Source of the statuses: RFC 9110 (HTTP semantics); 507 from RFC 4918.
"""

from __future__ import annotations

import errno
from typing import Any

from reedwright.errors import FileError, InputError, Problem, ReedwrightError

BAD, FORBIDDEN, ABSENT, CONFLICT, GONE, BIG, KIND, WRONG = 400, 403, 404, 409, 410, 413, 415, 422
BUSY, FULL = 503, 507

_NO_ROOM = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG})


class DeskError(ReedwrightError):
    """A request that is refused. `more` goes beside the error in the answer."""

    def __init__(self, status: int, problem: Problem, more: dict[str, Any] | None = None) -> None:
        self.status, self.problem, self.more = status, problem, more or {}
        super().__init__(str(problem))

    def __reduce__(self) -> tuple[Any, ...]:
        """Errors come back from workers whole."""
        return DeskError, (self.status, self.problem, self.more)


class DiskError(DeskError):
    """What was sent could not be written; nothing of it is kept, and nothing kept is lost."""

    def __init__(self, error: OSError) -> None:
        full = error.errno in _NO_ROOM
        super().__init__(
            FULL,
            Problem(
                "the disk is full" if full else f"the disk refused ({error.strerror or error})",
                "An edit is kept when it is on the disk",
                "make room; this page holds your words and sends them again"
                if full
                else "check the folder and your rights to it; this page holds your words",
            ),
        )


def refused(status: int, found: str, rule: str = "", mend: str = "") -> DeskError:
    """A refusal in one line."""
    return DeskError(status, Problem(found, rule, mend))


def of_room(error: ReedwrightError) -> DeskError:
    """The error of another room as an answer."""
    if isinstance(error, DeskError):
        return error
    if isinstance(error, InputError):
        first, *others = error.problems
        more = {"problems": [problem_json(each) for each in error.problems]} if others else {}
        return DeskError(WRONG, first, more)
    if isinstance(error, FileError):
        return refused(WRONG, error.what, "", error.mend)
    return refused(WRONG, str(error))


def problem_json(problem: Problem) -> dict[str, Any]:
    """`{found, rule, mend, line?, column?}`."""
    told: dict[str, Any] = {"found": problem.found, "rule": problem.rule, "mend": problem.mend}
    if problem.place.line:
        told |= {"line": problem.place.line, "column": problem.place.column}
    return told
