"""The thresholds of hard moves, from `data/moves.toml` or a file of the same form.

Conventions: holes, seconds, and events per second; the origin of each stands in the data file.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from difflib import get_close_matches
from functools import cache
from typing import Any

from reedwright.errors import Problem, SettingError
from reedwright.harp.pitch import shown
from reedwright.tables import packaged_text, table_text

NAME = "moves.toml"
_BLOCKS = {
    "jump": ("holes", "holes_per_s"),
    "jump-slide": ("holes", "holes_per_s"),
    "turns": ("per_s", "window_s"),
    "changes": ("per_s", "window_s"),
    "bend-leap": ("holes", "within_s"),
    "bend-run": ("notes", "within_s"),
}
"""The tables of the file and their keys; with an underscore between they name the fields below."""

_WHOLE = ("holes", "notes")
_MOST = 1_000_000  # no whole number of any use is larger


@dataclass(frozen=True, slots=True)
class MoveLimits:
    """A move is hard beyond these. Errors: SettingError for what is not above 0."""

    jump_holes: int
    jump_holes_per_s: float
    jump_slide_holes: int
    jump_slide_holes_per_s: float
    turns_per_s: float
    turns_window_s: float
    changes_per_s: float
    changes_window_s: float
    bend_leap_holes: int
    bend_leap_within_s: float
    bend_run_notes: int
    bend_run_within_s: float

    def __post_init__(self) -> None:
        problems = tuple(
            Problem(f"{field.name} is {value}", "Thresholds of moves are more than 0")
            for field in fields(self)
            if not (value := getattr(self, field.name)) > 0
        )
        if problems:
            raise SettingError(problems)

    def of_slide_harp(self) -> MoveLimits:
        """The same with the jump of a slide harp, whose octaves are wider."""
        return replace(
            self, jump_holes=self.jump_slide_holes, jump_holes_per_s=self.jump_slide_holes_per_s
        )


def read_limits(text: str, name: str = NAME) -> MoveLimits:
    """Limits from TOML text; what is not in it is as in the table that comes with the program, so
    that a copy of an older one goes on working. Errors: SettingError with all its faults."""
    problems: list[Problem] = []
    own = _values(_parsed(text, name), name, problems)
    if problems:
        raise SettingError(tuple(problems))
    return MoveLimits(**(_packaged() | own))  # type: ignore[arg-type]


def _parsed(text: str, name: str) -> dict[str, object]:
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise SettingError(Problem(f"{name}: tables nested too deep")) from None
    except ValueError as error:
        raise SettingError(Problem(f"{name} is not TOML: {error}")) from None


def _values(
    table: Mapping[str, object], name: str, problems: list[Problem]
) -> dict[str, float | int]:
    """The thresholds a table holds, by field; what is wrong with it goes to `problems`."""
    found: dict[str, float | int] = {}
    for title, row in _known(table, tuple(_BLOCKS), f"{name}: ", problems):
        where = f"{name}: [{title}] "
        if not isinstance(row, Mapping):
            found_here = f"{name}: {title} is no table"
            problems.append(Problem(found_here, f"Its numbers stand below a line [{title}]"))
            continue
        for key, value in _known(row, (*_BLOCKS[title], "origin"), where, problems):
            if key != "origin":
                field = f"{title}_{key}".replace("-", "_")
                found |= {field: value} if _fits(value, key, where, problems) else {}
    return found


def _known(
    table: Mapping[str, object], known: Sequence[str], where: str, problems: list[Problem]
) -> Iterator[tuple[str, Any]]:
    for key, value in table.items():
        if key in known:
            yield key, value
            continue
        close = get_close_matches(key[:60], known, n=1)
        mend = f"did you mean {close[0]}?" if close else "delete it"
        problems.append(
            Problem(f"{where}unknown {shown(key)}", f"Known are {', '.join(known)}", mend)
        )


def _fits(value: object, key: str, where: str, problems: list[Problem]) -> bool:
    whole = key in _WHOLE
    if isinstance(value, float) and not whole and value > 0:
        return True
    if isinstance(value, int) and not isinstance(value, bool) and 0 < value < _MOST:
        return True
    rule = f"It is a {'whole ' if whole else ''}number above 0"
    problems.append(Problem(f"{where}{key} is {_written(value)}", rule))
    return False


def _written(value: object) -> str:
    if isinstance(value, str):
        return shown(value)
    if isinstance(value, bool) or not isinstance(value, int | float):
        return "no number"
    return "a huge number" if abs(value) > _MOST else f"{value:g}"


@cache
def _packaged() -> dict[str, float | int]:
    return _values(tomllib.loads(packaged_text(NAME)), NAME, [])


@cache
def limits() -> MoveLimits:
    """The limits that come with the program, or a teacher's own (see `tables`)."""
    return read_limits(*table_text(NAME))
