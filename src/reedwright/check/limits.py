"""The thresholds of hard moves, from `data/moves.toml` or a file of the same form.

Conventions: holes, seconds, and events per second; the origin of each stands in the data file.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, fields, replace
from functools import cache

from reedwright.errors import Problem, SettingError
from reedwright.tables import table_text


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


def read_limits(text: str, name: str = "moves.toml") -> MoveLimits:
    """Limits from TOML text. Errors: SettingError."""
    try:
        table = tomllib.loads(text)
        values = {
            f"{block}_{key}".replace("-", "_"): float(value)
            for block, rows in table.items()
            for key, value in rows.items()
            if key != "origin"
        }
        whole = {"jump_holes", "jump_slide_holes", "bend_leap_holes", "bend_run_notes"}
        return MoveLimits(
            **{key: int(value) if key in whole else value for key, value in values.items()}  # type: ignore[arg-type]
        )
    except SettingError:
        raise
    except (ValueError, TypeError, AttributeError, RecursionError, OverflowError) as error:
        mend = "see the one that comes with reedwright"
        raise SettingError(Problem(f"{name} is no table of moves: {error}", "", mend)) from None


@cache
def limits() -> MoveLimits:
    """The limits that come with the program, or a teacher's own (see `tables`)."""
    return read_limits(*table_text("moves.toml"))
