"""Tunings: which note each reed of a harp sounds, as semitones above the key note.

Conventions: `blow[i]` and `draw[i]` belong to hole i + 1; 0 is the lowest key note, which is hole
1 blow in every built-in tuning except a spiral that starts on another degree.
`label_position` is the position whose key is printed on the harp: a natural minor harp is
labelled by its second-position key. Sources: beside each tuning in `data/tunings.toml`.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Any

from reedwright.errors import HarpError, Problem
from reedwright.harp.note import MAX_HOLES, Breath
from reedwright.harp.pitch import fifths_of, pitch_class, shown, spell
from reedwright.harp.tomltable import MAX_NAME, Table, written

MIN_HOLES = 4
_LOWEST, _HIGHEST = -12, 60  # semitones round the key note that a reed plate can hold, from memory
_MAJOR = (0, 2, 4, 5, 7, 9, 11)
_HALF_VALVED = "half-valved "
_KEYS = ("name", "base", "blow", "draw", "change", "label_position", "valves", "button", "source")


class Valves(StrEnum):
    """Which reeds are sealed by a valve when the other reed of the hole sounds."""

    NONE = "none"
    HALF = "half"
    ALL = "all"


@dataclass(frozen=True, slots=True)
class Tuning:
    """The layout of a harp, the same in every key. 4 to 16 holes."""

    name: str
    blow: tuple[int, ...]
    draw: tuple[int, ...]
    label_position: int = 1
    valves: Valves = Valves.NONE
    button: bool = False
    source: str = ""

    def __post_init__(self) -> None:
        title = f"tuning {shown(self.name)}"
        if not self.name.strip() or not self.name.isprintable() or len(self.name) > 2 * MAX_NAME:
            raise _bad(title, "The name of a tuning is one short line of text")
        if len(self.blow) != len(self.draw) or not MIN_HOLES <= len(self.blow) <= MAX_HOLES:
            raise _bad(
                f"{title} has {len(self.blow)} blow and {len(self.draw)} draw notes",
                f"A harp has {MIN_HOLES} to {MAX_HOLES} holes with a blow and a draw note each",
            )
        if not all(_LOWEST <= offset <= _HIGHEST for offset in self.blow + self.draw):
            raise _bad(
                f"{title} has a reed far outside the harp",
                f"Reeds lie {_LOWEST} to {_HIGHEST} semitones from the key note",
            )
        if not 1 <= self.label_position <= 12:
            raise _bad(
                f"label_position {self.label_position} in {title}", "Positions run from 1 to 12"
            )

    @property
    def holes(self) -> int:
        return len(self.blow)

    def offset(self, hole: int, breath: Breath) -> int:
        """Semitones of a natural reed above the key note; `hole` from 1 to `holes`."""
        return (self.blow if breath is Breath.BLOW else self.draw)[hole - 1]

    def with_reed(self, hole: int, breath: Breath, offset: int) -> Tuning:
        """The same tuning with one reed changed. Errors: HarpError."""
        if not 1 <= hole <= self.holes:
            raise _bad(f"no hole {hole}", f"This tuning has holes 1 to {self.holes}")
        rows = {Breath.BLOW: list(self.blow), Breath.DRAW: list(self.draw)}
        rows[breath][hole - 1] = offset
        return replace(self, blow=tuple(rows[Breath.BLOW]), draw=tuple(rows[Breath.DRAW]))


def tuning_names() -> tuple[str, ...]:
    """The names of the built-in tunings, as people write them."""
    return tuple(entry["name"] for entry in _table().values())


def tuning_named(name: str, key: str = "C") -> Tuning:
    """A built-in tuning by name, in any letter case; `half-valved …` puts valves on it.

    `key` is the harp's key: `spiral from D` starts the chain of thirds of that key's major scale
    on D, so only it needs the key. Errors: HarpError naming the closest known tuning.
    """
    plain = " ".join(name.lower().replace("-", " ").split())
    half = plain == "half valved" or plain.startswith("half valved ")
    base = (plain.removeprefix("half valved").strip() or "richter") if half else plain
    tuning = spiral(base, key) if base.partition(" ")[0] == "spiral" else _builtin(base, name)
    if not half:
        return tuning
    if tuning.valves is not Valves.NONE:
        raise _bad(f"{shown(name)} has valves already", "Only an unvalved harp is half-valved")
    return replace(tuning, name=_HALF_VALVED + tuning.name, valves=Valves.HALF)


def spiral(name: str, key: str) -> Tuning:
    """The spiral layout in a key, its start note stated: `spiral from E` (`spiral`: the key note).

    The start note is the one nearest to the key note, so hole 1 stays in the harp's register.
    """
    start = name.removeprefix("spiral").strip().removeprefix("from").strip() or key
    degree = (pitch_class(start) - pitch_class(key)) % 12
    if degree not in _MAJOR:
        raise _bad(
            f"{shown(name)} on a harp in {key}",
            "A spiral harp starts on a note of its own major key",
            f"start on a note of {key} major",
        )
    first = _MAJOR.index(degree) - (7 if degree > 6 else 0)
    blow = tuple(_scale_step(first + 2 * third) for third in range(10))
    draw = tuple(_scale_step(first + 1 + 2 * third) for third in range(10))
    title = spell(60 + pitch_class(start), fifths_of(key)).rstrip("0123456789")
    return Tuning(f"spiral from {title}", blow, draw, source=_table()["spiral"]["source"])


def _scale_step(step: int) -> int:
    return 12 * (step // 7) + _MAJOR[step % 7]


def read_tuning(text: str, name: str) -> Tuning:
    """A user's own tuning from the text of a TOML file called `name`; see `docs/tunings.md`.

    Errors: HarpError with every fault found, each at its line.
    """
    return _tuning_from(Table.parse(text, name), "own tuning")


def tuning_from_table(table: Mapping[str, Any], name: str = "own tuning") -> Tuning:
    """A tuning from the keys of a small table.

    Keys: `name`, `base` (a built-in tuning), `blow` and `draw` (semitones above the key note),
    `change` (`{ "3d" = 10 }`), `label_position`, `valves`, `button`. What is not given comes from
    the base. Errors: HarpError.
    """
    return _tuning_from(Table(table), name)


def _tuning_from(table: Table, name: str) -> Tuning:
    table.allow(*_KEYS)
    base = _base(table)
    blow, draw = _row(table, "blow", base), _row(table, "draw", base)
    if not table.problems and len(blow) != len(draw):
        key = "draw" if "draw" in table.values else "blow"
        found = f"{len(blow)} blow and {len(draw)} draw notes"
        table.bad(key, found, "Every hole has one of each", "make both rows as long")
    _change(table, {Breath.BLOW: blow, Breath.DRAW: draw})
    position = table.values.get("label_position", base.label_position if base else 1)
    title = table.words("name", name)
    position = table.whole("label_position", position, 1, 12)
    valves = _valves(table, base.valves if base else Valves.NONE)
    button = table.yes("button", base.button if base else False)
    source = table.remark("source")
    table.finish()
    return Tuning(title, tuple(blow), tuple(draw), position, valves, button, source)


def _base(table: Table) -> Tuning | None:
    if "base" not in table.values:
        return None
    value = table.values["base"]
    try:
        return tuning_named(value if isinstance(value, str) else written(value))
    except HarpError as error:
        for problem in error.problems:
            table.bad("base", problem.found, problem.rule, problem.mend)
        return tuning_named("richter")  # so that the other keys are still looked at


def _row(table: Table, key: str, base: Tuning | None) -> list[int]:
    if key not in table.values:
        if base is not None:
            return list(base.blow if key == "blow" else base.draw)
        mend = 'write `base = "richter"` and change single reeds'
        table.bad(key, f"no `{key}` and no `base`", "A tuning gives both rows, or a base", mend)
        return [0] * MAX_HOLES
    row = table.values[key]
    if not isinstance(row, list) or not MIN_HOLES <= len(row) <= MAX_HOLES:
        rule = f"A row lists {MIN_HOLES} to {MAX_HOLES} notes, one for each hole"
        table.bad(key, f"{key} is {written(row)}", rule, f"write it like {key} = [0, 4, 7, 12]")
        return [0] * MAX_HOLES
    return [table.whole(key, item, _LOWEST, _HIGHEST) for item in row]


_REED = re.compile(r"([1-9][0-9]?)([bd])", re.ASCII)


def _change(table: Table, rows: dict[Breath, list[int]]) -> None:
    for reed, offset in table.rows("change", '"3d" = 10').items():
        match = _REED.fullmatch(reed)
        if match is None:
            rule = "A reed is named by hole and breath"
            table.bad(reed, f"{shown(reed)} is not a reed", rule, "write it like 3d")
        elif int(match[1]) > len(rows[Breath(match[2])]):
            holes = len(rows[Breath(match[2])])
            table.bad(reed, f"no hole {match[1]}", f"There are holes 1 to {holes}", "name one")
        else:
            value = table.whole(reed, offset, _LOWEST, _HIGHEST)
            rows[Breath(match[2])][int(match[1]) - 1] = value


def _valves(table: Table, default: Valves) -> Valves:
    value = table.values.get("valves", default.value)
    if isinstance(value, str) and value in list(Valves):
        return Valves(value)
    rule, mend = 'Valves are "none", "half" or "all"', 'write valves = "none"'
    table.bad("valves", f"valves = {written(value)}", rule, mend)
    return default


@cache
def _table() -> dict[str, dict[str, Any]]:
    text = files("reedwright.harp").joinpath("data/tunings.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def _builtin(plain: str, written_name: str) -> Tuning:
    key = plain.strip().lower().replace(" ", "-")
    if key not in _table():
        close = get_close_matches(key[:40], _table(), n=1)
        raise _bad(
            f"unknown tuning {shown(written_name)}",
            f"Built-in tunings are {', '.join(tuning_names())}; `half-valved` may stand before one",
            f"did you mean {_table()[close[0]]['name']!r}? A file of your own ends in .toml"
            if close
            else "write one of these, or the name of a file that ends in .toml",
        )
    return _made(key)


@cache
def _made(key: str) -> Tuning:
    return tuning_from_table(_table()[key])


def _bad(found: str, rule: str, mend: str = "") -> HarpError:
    return HarpError(Problem(found=found, rule=rule, mend=mend))
