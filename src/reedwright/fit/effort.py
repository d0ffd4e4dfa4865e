"""The weights of what a tab costs, from `data/effort.toml` or a teacher's own copy of it.

Conventions: points per note, per hole, per second and so on, as each line of the file says; none is
negative, so that no longer way is ever the cheaper one.
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

NAME = "effort.toml"
_PARTS = {
    "note": ("technique", "held-bend", "held-free-s", "dropped", "folded"),
    "move": (
        *("hole", "hole-free", "turn", "leap-to-bend", "bend-to-bend", "button"),
        *("least-time-s", "most-time-s"),
    ),
    "harp": ("low-or-high", "octave", "transposed", "odd-position"),
}
_OTHER = "other"


@dataclass(frozen=True, slots=True)
class Effort:
    """The weights by part and name, and what each tuning is worth avoiding."""

    note: Mapping[str, float]
    move: Mapping[str, float]
    harp: Mapping[str, float]
    tuning: Mapping[str, float]

    def of_tuning(self, name: str) -> float:
        """The points of a tuning; `half-valved country` counts as `country`, `spiral from D` as
        `spiral`."""
        plain = name.removeprefix("half-valved ").partition(" from ")[0]
        return self.tuning.get(plain, self.tuning[_OTHER])


@cache
def effort() -> Effort:
    """The weights in force. Errors: SettingError with every fault of a teacher's own file."""
    return read_effort(*table_text(NAME))


def read_effort(text: str, name: str = NAME) -> Effort:
    """Weights from TOML text. Errors: SettingError."""
    try:
        table = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise SettingError(Problem(f"{name} is not TOML: {error}")) from None
    problems: list[Problem] = []
    parts = {part: _part(table.get(part), part, name, problems) for part in (*_PARTS, "tuning")}
    unknown = [part for part in table if part not in parts]
    problems += [_unknown(part, tuple(parts), name) for part in unknown]
    if not problems and parts["move"]["least-time-s"] <= 0:
        problems.append(Problem(f"{name}: least-time-s is 0", "A time is above 0"))
    if problems:
        raise SettingError(tuple(problems))
    return Effort(**parts)


def _part(part: object, title: str, name: str, problems: list[Problem]) -> dict[str, float]:
    if not isinstance(part, dict):
        problems.append(
            Problem(f"{name}: no table [{title}]", "It holds weights", f"add [{title}]")
        )
        return {}
    wanted = _PARTS.get(title, (_OTHER,))
    problems += [
        Problem(f"{name}: [{title}] lacks {key}", "Every weight stands there", f"add {key}")
        for key in wanted
        if key not in part
    ]
    if title in _PARTS:
        problems += [_unknown(key, wanted, name) for key in part if key not in wanted]
    weights = {}
    for key, value in part.items():
        if (
            isinstance(value, bool)
            or not isinstance(value, int | float)
            or not 0 <= value < math.inf
        ):
            found = f"{name}: {key} = {shown(str(value))}"
            problems.append(Problem(found, "A weight is a number, 0 or more"))
        else:
            weights[key] = float(value)
    return weights


def _unknown(key: str, wanted: tuple[str, ...], name: str) -> Problem:
    close = get_close_matches(key, wanted, n=1)
    mend = f"did you mean {close[0]}?" if close else ""
    return Problem(f"{name}: unknown {shown(key)}", f"Known are {', '.join(wanted)}", mend)
