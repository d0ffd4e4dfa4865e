"""A small TOML table of a user's own, read with every fault found in one go.

Conventions: the text comes in from the caller (no file is opened here). A fault names the file and
the line and column where its key is written, as far as the key can be found again in the text.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any

from reedwright.errors import HarpError, Place, Problem
from reedwright.harp.pitch import shown

MAX_CHARS = 100_000
"""Longer than any table of sixteen holes; keeps the parser's work bounded."""

MAX_PROBLEMS = 40
"""Faults kept; a table of sixteen holes has few more values, and each is looked up in the text."""

MAX_NAME = 60
"""Characters of a name that still fit a heading."""

_AT = re.compile(r"\((?:at line (\d+), column (\d+)|at end of document)\)")


class Table:
    """Values of one table and the faults found in them so far."""

    def __init__(self, values: Mapping[str, Any], text: str = "", file: str = "") -> None:
        self.values, self.problems = values, list[Problem]()
        self._text, self._file = text, file

    @classmethod
    def parse(cls, text: str, file: str) -> Table:
        """Read TOML. Errors: HarpError with the place where reading stopped."""
        if len(text) > MAX_CHARS:
            found = f"{len(text)} characters"
            rule = f"{MAX_CHARS} at most are read"
            raise HarpError(Problem(found, rule, "shorten it", Place(file=file)))
        try:
            return cls(tomllib.loads(text), text, file)
        except RecursionError:
            problem = Problem("tables nested too deep", _FORM, _MEND, Place(file=file))
        except tomllib.TOMLDecodeError as error:
            problem = _unread(str(error), text, file)
        except ValueError:  # Python's own bound on the digits of an int
            problem = Problem("a number too long to read", _FORM, _MEND, Place(file=file))
        raise HarpError(problem)

    def bad(self, key: str, found: str, rule: str, mend: str) -> None:
        """Note a fault where `key` is written. Errors: HarpError, after MAX_PROBLEMS of them."""
        self.problems.append(Problem(found, rule, mend, self._place(key)))
        if len(self.problems) >= MAX_PROBLEMS:
            self.finish()

    def allow(self, *keys: str) -> None:
        """Note a fault for every other key."""
        for key in self.values:
            if key not in keys:
                close = get_close_matches(key[:MAX_NAME], keys, n=1)
                mend = f"did you mean {close[0]}?" if close else "delete it"
                self.bad(key, f"unknown key {shown(key)}", f"Keys are {', '.join(keys)}", mend)

    def words(self, key: str, default: str) -> str:
        """A name or remark: one line of printable text, not empty."""
        value = self.values.get(key, default)
        if isinstance(value, str) and value.isprintable() and len(value) <= MAX_NAME:
            return value.strip() or default
        rule = f"This must be one line of text, {MAX_NAME} characters at most"
        self.bad(key, f"{key} = {written(value)}", rule, f'write it like {key} = "my own"')
        return default

    def remark(self, key: str) -> str:
        """Free text, empty when it is not there."""
        value = self.values.get(key, "")
        if isinstance(value, str):
            return value
        self.bad(key, f"{key} = {written(value)}", "This must be text", "set it in quotation marks")
        return ""

    def whole(self, key: str, value: object, low: int, high: int) -> int:
        """A whole number in a range; `low` when it is not."""
        if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
            return value
        rule = f"A whole number from {low} to {high} is needed"
        self.bad(key, f"{key} = {written(value)}", rule, "write one in between")
        return low

    def number(self, key: str, value: object, low: float, high: float) -> float:
        """A number in a range; `low` when it is not (NaN never is)."""
        if isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high:
            return float(value)
        rule = f"A number from {low:g} to {high:g} is needed"
        self.bad(key, f"{key} = {written(value)}", rule, "write one in between")
        return low

    def yes(self, key: str, default: bool) -> bool:
        value = self.values.get(key, default)
        if isinstance(value, bool):
            return value
        self.bad(key, f"{key} = {written(value)}", "This is true or false", "write true")
        return default

    def rows(self, key: str, example: str) -> dict[str, object]:
        """A table inside the table, empty when it is not there."""
        value = self.values.get(key, {})
        if isinstance(value, Mapping):
            return dict(value)
        mend = f"write it like {key} = {{ {example} }}"
        self.bad(key, f"{key} = {written(value)}", "This must be a table in braces", mend)
        return {}

    def finish(self) -> None:
        """Raise all the faults, in the order of the text. Errors: HarpError."""
        if self.problems:
            in_order = sorted(
                self.problems, key=lambda fault: (fault.place.line, fault.place.column)
            )
            raise HarpError(tuple(in_order))

    def _place(self, key: str) -> Place:
        match = re.search(rf"(?<![\w\"'-])[\"']?{re.escape(key)}[\"']?\s*[=.]", self._text)
        if match is None:
            return Place(file=self._file)
        before = self._text[: match.start()]
        return Place(before.count("\n") + 1, match.start() - before.rfind("\n"), self._file)


_FORM = "The file is TOML: `key = value` on each line"
_MEND = "see docs/tunings.md for examples"


def _unread(message: str, text: str, file: str) -> Problem:
    """What tomllib says, with its place as ours; newer Pythons give the end as a line too."""
    at = _AT.search(message)
    place = Place(text.count("\n") + 1, len(text) - text.rfind("\n"), file)
    if at and at[1]:
        place = Place(int(at[1]), int(at[2]), file)
    return Problem(_AT.sub("", message).strip() or "unreadable text", _FORM, _MEND, place)


def written(value: object) -> str:
    """A TOML value as it is quoted in an error, cut where it would flood a screen."""
    if isinstance(value, str):
        return shown(value)
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and abs(value) >= 10**12:
        return "a huge number"  # printing it could take longer than reading it
    if isinstance(value, dict | list):
        return "a table" if isinstance(value, dict) else f"a list of {len(value)}"
    return str(value)[:MAX_NAME]
