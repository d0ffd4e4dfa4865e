"""A file of rules as text: its values checked one by one, with every fault and its place.

Conventions: the text comes in from the caller (no file is opened here). `path` names the table a
value stands in, with a number for the n-th of several (`style`, `slow`, `groove`, 0); a fault
stands where its text is first found after the head of that table. What is at fault is replaced by
something harmless, so that reading goes on to the next fault.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from difflib import get_close_matches

from reedwright.errors import Place, Problem, SettingError
from reedwright.harp.pitch import shown

MAX_PROBLEMS = 40
"""Faults told at once; each is looked up in the text."""

MAX_WORDS = 200
"""Characters of a remark or of a row; a row of four beats has 35 at most."""

MEND = "see the one that comes with reedwright"
Path = tuple[str | int, ...]


class RulesText:
    """The values of a file of rules, and the faults found in them so far."""

    def __init__(self, text: str, file: str, values: Mapping[str, object]) -> None:
        self.values = values
        self._text, self._file, self._problems = text, file, list[Problem]()

    @classmethod
    def parse(cls, text: str, file: str) -> RulesText:
        """Errors: SettingError for what is no TOML."""
        try:
            return cls(text, file, tomllib.loads(text))
        except (ValueError, RecursionError) as error:
            found = "tables nested too deep" if isinstance(error, RecursionError) else str(error)
            at = re.search(r"\(at line (\d+), column (\d+)\)", found)
            place = Place(int(at[1]), int(at[2]), file) if at else Place(file=file)
            found = "no TOML: " + re.sub(r" \(at .*\)", "", found)
            raise SettingError(Problem(found, "", MEND, place)) from None

    def bad(self, path: Path, needle: str, found: str, rule: str, mend: str = MEND) -> None:
        """Note a fault. Errors: SettingError, after MAX_PROBLEMS of them."""
        self._problems.append(Problem(found, rule, mend, self._place(path, needle)))
        if len(self._problems) >= MAX_PROBLEMS:
            self.finish()

    def finish(self) -> None:
        """Raise all the faults, in the order of the text. Errors: SettingError."""
        if self._problems:
            places = {id(fault): (fault.place.line, fault.place.column) for fault in self._problems}
            raise SettingError(tuple(sorted(self._problems, key=lambda fault: places[id(fault)])))

    def table(
        self, path: Path, value: object, allowed: Sequence[str] | None = None
    ) -> dict[str, object]:
        """A table, empty when it is none; other keys than `allowed` are faults."""
        name = str(path[-1]) if path else "the file"
        if not isinstance(value, Mapping):
            self.bad(path, name, f"no table {name}", f"The rules have a table [{_dotted(path)}]")
            return {}
        for key in value if allowed is not None else ():
            if key not in (allowed or ()):
                close = get_close_matches(key, allowed or (), n=1)
                rule = f"{name.capitalize()} has " + ", ".join(map(shown, allowed or ()))
                mend = f"did you mean {close[0]}?" if close else "delete it"
                self.bad(path, key, f"unknown key {shown(key)}", rule, mend)
        return {str(key): item for key, item in value.items()}

    def tables(self, path: Path, value: object) -> list[dict[str, object]]:
        """A list of tables, none when it is no list."""
        if isinstance(value, list):
            return [self.table((*path, number), item) for number, item in enumerate(value)]
        name = _dotted(path)
        self.bad(path[:-1], str(path[-1]), f"no list of {path[-1]}s", f"Each is headed [[{name}]]")
        return []

    def number(
        self, path: Path, table: Mapping[str, object], key: str, low: float, high: float
    ) -> float:
        """A number in a range; `low` when it is not (NaN never is)."""
        value = table.get(key)
        if isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high:
            return float(value)
        rule = f"{key} is a number from {low:g} to {high:g}"
        self.bad(path, key, f"{key} = {_written(value)}", rule, "write one in between")
        return low

    def whole(self, path: Path, table: Mapping[str, object], key: str, low: int, high: int) -> int:
        """A whole number in a range; `low` when it is not."""
        value = table.get(key)
        if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
            return value
        rule = f"{key} is a whole number from {low} to {high}"
        self.bad(path, key, f"{key} = {_written(value)}", rule, "write one in between")
        return low

    def numbers(
        self, path: Path, table: Mapping[str, object], key: str, low: float, high: float
    ) -> tuple[float, ...]:
        """A list of numbers in a range, at least one."""
        values = table.get(key)
        if isinstance(values, list) and values:
            return tuple(self.number(path, {key: value}, key, low, high) for value in values)
        self.bad(path, key, f"{key} = {_written(values)}", f"{key} is a list of numbers")
        return (high,)

    def yes(self, path: Path, table: Mapping[str, object], key: str) -> bool | None:
        """True or false, None when it is not there."""
        value = table.get(key)
        if value is None or isinstance(value, bool):
            return value
        self.bad(path, key, f"{key} = {_written(value)}", f"{key} is true or false", "write true")
        return None

    def words(self, path: Path, table: Mapping[str, object], key: str) -> str:
        """One line of text, empty when it is not there."""
        value = table.get(key, "")
        if (
            isinstance(value, str)
            and len(value) <= MAX_WORDS
            and (not value or value.isprintable())
        ):
            return value
        rule = f"{key} is one line of text, {MAX_WORDS} characters at most"
        self.bad(path, key, f"{key} = {_written(value)}", rule, "set it in quotation marks")
        return ""

    def texts(self, path: Path, table: Mapping[str, object], key: str) -> tuple[str, ...]:
        """A list of short texts, at least one."""
        values = table.get(key)
        if isinstance(values, list) and values:
            return tuple(self.words(path, {key: value}, key) for value in values)
        self.bad(path, key, f"{key} = {_written(values)}", f"{key} is a list of texts")
        return ()

    def _place(self, path: Path, needle: str) -> Place:
        start = self._head(path)
        sign = re.escape(needle)
        key, text = rf"^[ \t]*[\"']?{sign}[\"']?[ \t]*=", rf"[\"']{sign}[\"']"
        tries = (re.compile(form, re.MULTILINE).search(self._text, start) for form in (key, text))
        found = next((match for match in tries if match), None)
        at = found.start() if found else start
        if not self._text:
            return Place(file=self._file)
        line = self._text.count("\n", 0, at) + 1
        return Place(line, at - self._text.rfind("\n", 0, at), self._file)

    def _head(self, path: Path) -> int:
        """Where the table of a path begins, or the nearest one around it."""
        names = [re.escape(str(name)) for name in path if isinstance(name, str)]
        number = next((name for name in path if isinstance(name, int)), 0)
        while names:
            dotted = r"\.".join(f"[\"']?{name}[\"']?" for name in names)
            found = list(re.finditer(rf"^[ \t]*\[\[?\s*{dotted}\s*\]", self._text, re.MULTILINE))
            if found:
                return found[min(number, len(found) - 1)].start()
            names.pop()
        return 0


def _dotted(path: Path) -> str:
    return ".".join(str(name) for name in path if isinstance(name, str))


def _written(value: object) -> str:
    """A value as it is quoted in an error, cut where it would flood a screen."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return shown(value)
    if isinstance(value, int) and abs(value) >= 10**12:
        return "a huge number"
    return str(value)[:60] if isinstance(value, int | float) else "something else"
