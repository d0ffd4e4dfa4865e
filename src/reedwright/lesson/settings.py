"""The numbers of the lesson room, from `data/lesson.toml` or a teacher's own copy of it.

Conventions: one flat mapping for each section of the file, by the names written there; what each
number means stands beside it. None is negative, so that a weight never turns into its opposite.
Source: all from memory, for a teacher to change.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache

from reedwright.errors import Problem, SettingError
from reedwright.harp.pitch import shown
from reedwright.tables import table_text

NAME = "lesson.toml"
OTHER = "other"
"""The size for a level the table does not name."""

_SIZE = ("notes", "most-notes", "beats", "most-beats")
_SECTIONS = {
    "stop": (
        *("cut", "rest", "full-rest-beats", "held", "held-beats", "full-held-beats"),
        *("bar", "beat", "turn"),
    ),
    "weight": ("notes", "beats"),
    "fresh": (
        *("identical", "one-note", "one-bar", "nearly", "opening", "ending", "rhythm", "contour"),
        "harder-by",
    ),
    "bends": ("technique",),
    "leaps": ("hole", "to-bend"),
    "speed": ("note", "free-per-s"),
    "breath": ("turn", "litre", "free-l"),
    "rhythm": ("half", "third", "quarter", "other", "across", "after-rest", "point"),
    "length": ("doubling",),
    "scale": ("fade", "half", "least-time-s"),
    "ladder": ("start", "slowest", "step", "most"),
}
_MOST = 1_000_000.0  # no weight of any use is larger, and sums of such stay finite
_RANGES = {
    ("stop", "full-rest-beats"): (0.01, 64.0),
    ("stop", "full-held-beats"): (0.01, 64.0),
    ("fresh", "harder-by"): (0.1, _MOST),
    **{("fresh", kind): (0.0, 1.0) for kind in _SECTIONS["fresh"][:-1]},
    ("scale", "fade"): (0.0, 0.999),
    ("scale", "half"): (0.1, _MOST),
    ("scale", "least-time-s"): (0.01, 2.0),
    ("ladder", "slowest"): (0.1, 1.0),
    ("ladder", "step"): (1.01, 4.0),
    ("ladder", "most"): (1.0, 20.0),
}
"""Least and most of the numbers that do not simply run from 0."""


@dataclass(frozen=True, slots=True)
class Size:
    """How much of a lick a student holds: aimed at, and at most, in notes and counted beats."""

    notes: float
    most_notes: int
    beats: float
    most_beats: float


@dataclass(frozen=True, slots=True)
class LessonTable:
    """Every number by section and name, and the sizes of pieces by level."""

    sections: Mapping[str, Mapping[str, float]]
    sizes: Mapping[str, Size]

    def __getitem__(self, section: str) -> Mapping[str, float]:
        return self.sections[section]

    def size(self, level: str) -> Size:
        """The size for a student's level; `other` for none and for a level of one's own."""
        return self.sizes.get(level.lower(), self.sizes[OTHER])


@cache
def lesson_table() -> LessonTable:
    """The numbers in force. Errors: SettingError with every fault of a teacher's own file."""
    return read_lesson_table(*table_text(NAME))


def read_lesson_table(text: str, name: str = NAME) -> LessonTable:
    """Numbers from TOML text. Errors: SettingError with all its faults."""
    try:
        table = tomllib.loads(text)
    except RecursionError:
        raise SettingError(Problem(f"{name}: tables nested too deep")) from None
    except ValueError as error:
        raise SettingError(Problem(f"{name} is not TOML: {error}")) from None
    faults = _Faults(name)
    sections = {title: faults.section(table.get(title), title) for title in _SECTIONS}
    faults.unknown(table, (*_SECTIONS, "size"), "")
    sizes = _sizes(table.get("size"), faults)
    if faults.problems:
        raise SettingError(tuple(faults.problems))
    return LessonTable(sections, sizes)


def _sizes(rows: object, faults: _Faults) -> dict[str, Size]:
    if not isinstance(rows, dict) or OTHER not in rows:
        faults.add(f"no table [size.{OTHER}]", "It is the size for every level not named", "add it")
        rows = rows if isinstance(rows, dict) else {}
    sizes: dict[str, Size] = {}
    for level, row in rows.items():
        title = f"size.{level}"
        found = faults.section(row, title, _SIZE, (1.0, 1000.0))
        if len(found) == len(_SIZE):
            if found["most-notes"] < found["notes"] or found["most-beats"] < found["beats"]:
                faults.add(f"[{title}] holds less at most than is aimed at", "The most is the more")
            sizes[level.lower()] = Size(
                found["notes"], int(found["most-notes"]), found["beats"], found["most-beats"]
            )
    return sizes


class _Faults:
    """Reads sections and collects what is wrong with them."""

    def __init__(self, name: str) -> None:
        self.problems: list[Problem] = []
        self._name = name

    def add(self, found: str, rule: str, mend: str = "") -> None:
        self.problems.append(Problem(f"{self._name}: {found}", rule, mend))

    def unknown(self, keys: Mapping[str, object], known: tuple[str, ...], title: str) -> None:
        where = f" in [{title}]" if title else ""
        for key in keys:
            if key not in known:
                close = get_close_matches(key[:60], known, n=1)
                mend = f"did you mean {close[0]}?" if close else "delete it"
                self.add(f"unknown {shown(key)}{where}", f"Known are {', '.join(known)}", mend)

    def section(
        self,
        row: object,
        title: str,
        keys: tuple[str, ...] = (),
        span: tuple[float, float] = (0.0, _MOST),
    ) -> dict[str, float]:
        """The numbers of one section that are fine; faults for the others."""
        keys = keys or _SECTIONS[title]
        if not isinstance(row, dict):
            self.add(f"no table [{title}]", f"It holds {', '.join(keys)}", f"add [{title}]")
            return {}
        self.unknown(row, keys, title)
        found: dict[str, float] = {}
        for key in keys:
            low, high = _RANGES.get((title, key), span)
            value = row.get(key)
            if key not in row:
                self.add(f"[{title}] lacks {key}", "Every number stands there", f"add {key}")
            elif isinstance(value, bool) or not isinstance(value, int | float):
                self.add(f"{key} in [{title}] is no number", f"A number from {low:g} to {high:g}")
            elif not (math.isfinite(value) and low <= value <= high):
                said = "a huge number" if abs(value) > _MOST else f"{value:g}"
                self.add(f"{key} = {said} in [{title}]", f"A number from {low:g} to {high:g}")
            else:
                found[key] = float(value)
        return found
