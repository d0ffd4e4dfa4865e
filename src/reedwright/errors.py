"""Every error a user can meet, under one root.

Conventions: an error carries its data (file, line, column, bar, beat, rule, mend) and builds its
own message; lines and columns count from 1, columns in characters. A `Problem` is one fault in
one place. An `InputError` carries all the problems of one input, so that a teacher mends a file
in one go.
"""

from __future__ import annotations

from dataclasses import dataclass


def one_line(name: str) -> str:
    """A file's name as it is shown: what would break the line or steer a terminal is replaced."""
    return "".join(sign if sign.isprintable() else "\ufffd" for sign in name)


@dataclass(frozen=True, slots=True)
class Place:
    """Where something was written: `line` and `column` from 1 (0: the file as a whole)."""

    line: int = 0
    column: int = 0
    file: str = ""

    def __str__(self) -> str:
        numbers = [str(number) for number in (self.line, self.column) if number]
        file = one_line(self.file)
        return ":".join([file or "line" if numbers else file, *numbers])


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault: where it is, what was found, the rule it breaks and the mend."""

    found: str
    rule: str = ""
    mend: str = ""
    place: Place = Place()

    def __str__(self) -> str:
        parts = [f"{self.place}: {self.found}" if str(self.place) else self.found]
        parts += [self.rule] if self.rule else []
        parts += [f"Mend: {self.mend}"] if self.mend else []
        return " ".join(part if part.endswith((".", "!", "?")) else part + "." for part in parts)


class ReedwrightError(Exception):
    """Root of all errors; its text is fit to be shown to a user as it is."""


class InputError(ReedwrightError, ValueError):
    """Something the user wrote cannot be understood; `problems` lists every fault found."""

    def __init__(self, problems: tuple[Problem, ...] | Problem) -> None:
        self.problems = (problems,) if isinstance(problems, Problem) else problems
        super().__init__("\n".join(str(problem) for problem in self.problems))


class HarpError(InputError):
    """A harp, tuning, temperament, position or key that does not exist."""


class TokenError(InputError):
    """A tab token that cannot be read."""


class TuneError(InputError):
    """A tune file that cannot be read."""


class SettingError(InputError):
    """A setting out of its range, or of the wrong kind."""


class LessonError(InputError):
    """What a teacher keeps beside a tune for its lesson, and that cannot be read."""


class SheetError(ReedwrightError):
    """A sheet that could not be engraved or set."""


class FileError(ReedwrightError, OSError):
    """A file or folder that cannot be read or written; `path` names it."""

    def __init__(self, path: str, what: str, mend: str) -> None:
        self.path, self.what, self.mend = path, what, mend
        super().__init__(f"{one_line(path)}: {what}. Mend: {mend}.")

    def __str__(self) -> str:
        return str(self.args[0])
