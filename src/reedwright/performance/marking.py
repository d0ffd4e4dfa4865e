"""How near is near enough: what counts as in tune and in time at a student's level.

Conventions: cents from the pitch asked for, milliseconds from the moment asked for, either way;
`clean_share` of the notes that could be judged, 0 to 1. Read by whatever marks a student's playing,
so that the page and the marking of recordings never differ. The numbers and their sources are in
`data/marking.toml`, or in a teacher's own copy of it.
"""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from functools import cache
from typing import Any

from reedwright.errors import Problem, SettingError
from reedwright.harp.pitch import shown
from reedwright.tables import table_text

NAME = "marking.toml"
OTHER = "other"
"""The thresholds for a level the table does not name."""

_RANGES = {
    "bend-cents": (1.0, 100.0),
    "pitch-cents": (1.0, 100.0),
    "onset-ms": (1.0, 500.0),
    "clean-share": (0.1, 1.0),
}


@dataclass(frozen=True, slots=True)
class Thresholds:
    """What a student of one level is held to."""

    bend_cents: float
    pitch_cents: float
    onset_ms: float
    clean_share: float

    def as_json(self) -> dict[str, float]:
        return {name: getattr(self, name) for name in self.__slots__}


def thresholds_for(level: str) -> Thresholds:
    """The thresholds for a level, those of OTHER for none and for a level of one's own.

    Errors: SettingError with every fault of a teacher's own file.
    """
    table = marking_table()
    return table.get(level.strip().lower(), table[OTHER])


@cache
def marking_table() -> dict[str, Thresholds]:
    """The thresholds in force, by level. Errors: SettingError."""
    return read_marking_table(*table_text(NAME))


def read_marking_table(text: str, name: str = NAME) -> dict[str, Thresholds]:
    """Thresholds from TOML text. Errors: SettingError with all its faults."""
    try:
        table = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise SettingError(Problem(f"{name} is not TOML: {error}")) from None
    problems: list[Problem] = []
    if OTHER not in table:
        rule = "It holds the numbers for every level not named"
        problems.append(Problem(f"{name} has no table [{OTHER}]", rule, "add it"))
    for level, row in table.items():
        problems += (
            Problem(f"{name}, {said}", rule, mend) for said, rule, mend in _bad(level, row)
        )
    if problems:
        raise SettingError(tuple(problems))
    return {level.lower(): _thresholds(row) for level, row in table.items()}


def _thresholds(row: dict[str, Any]) -> Thresholds:
    return Thresholds(*(float(row[name]) for name in _RANGES))


def _bad(level: str, row: object) -> list[tuple[str, str, str]]:
    """What is wrong with one level: what was found, the rule, the mend."""
    if not isinstance(row, dict):
        rule = f"A level is a table with {', '.join(_RANGES)}"
        return [(f"{shown(level)} is no table", rule, f"write [{OTHER}] and its numbers below it")]
    wrong = []
    for name, (low, high) in _RANGES.items():
        value = row.get(name, "missing")
        if not _is_number(value) or not low <= value <= high:
            found = f"[{level}] {name} is {shown(str(value))}"
            wrong.append((found, f"It lies between {low:g} and {high:g}", "write such a number"))
    rule = f"It has {', '.join(_RANGES)}"
    others = sorted(row.keys() - _RANGES.keys())
    return wrong + [(f"[{level}] has {shown(name)}", rule, "remove it") for name in others]


def _is_number(value: object) -> bool:
    plain = isinstance(value, int | float) and not isinstance(value, bool)
    return plain and math.isfinite(value)  # type: ignore[arg-type]
