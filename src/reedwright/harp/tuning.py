"""Tunings: which note each reed of a harp sounds, as semitones above the key note.

Conventions: `blow[i]` and `draw[i]` belong to hole i + 1; 0 is the lowest key note, which is hole
1 blow in every built-in tuning except a spiral that starts on another degree.
`label_position` is the position whose key is printed on the harp: a natural minor harp is
labelled by its second-position key. Sources: beside each tuning in `data/tunings.toml`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Any

from reedwright.errors import HarpError, Problem
from reedwright.harp.note import MAX_HOLES, Breath, TabNote
from reedwright.harp.pitch import pitch_class, shown

MIN_HOLES = 4
_LOWEST, _HIGHEST = -12, 60  # semitones round the key note that a reed plate can hold, from memory
_MAJOR = (0, 2, 4, 5, 7, 9, 11)
_HALF_VALVED = "half-valved "


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
        if len(self.blow) != len(self.draw) or not MIN_HOLES <= len(self.blow) <= MAX_HOLES:
            raise _bad(
                f"tuning {shown(self.name)} has {len(self.blow)} blow and {len(self.draw)} draw notes",
                f"A harp has {MIN_HOLES} to {MAX_HOLES} holes with a blow and a draw note each",
            )
        if not all(_LOWEST <= offset <= _HIGHEST for offset in self.blow + self.draw):
            raise _bad(
                f"tuning {shown(self.name)} has a reed far outside the harp",
                f"Reeds lie {_LOWEST} to {_HIGHEST} semitones from the key note",
            )
        if not 1 <= self.label_position <= 12:
            raise _bad(
                f"label_position {self.label_position} in tuning {shown(self.name)}",
                "Positions run from 1 to 12",
            )

    @property
    def holes(self) -> int:
        return len(self.blow)

    def offset(self, hole: int, breath: Breath) -> int:
        """Semitones of a natural reed above the key note."""
        return (self.blow if breath is Breath.BLOW else self.draw)[hole - 1]

    def with_reed(self, hole: int, breath: Breath, offset: int) -> Tuning:
        """The same tuning with one reed changed."""
        row = list(self.blow if breath is Breath.BLOW else self.draw)
        row[hole - 1] = offset
        changed = {"blow" if breath is Breath.BLOW else "draw": tuple(row)}
        return replace(self, **changed)  # type: ignore[arg-type]


def tuning_names() -> tuple[str, ...]:
    """The names of the built-in tunings, as people write them."""
    return tuple(entry["name"] for entry in _table().values())


def tuning_named(name: str, key: str = "C") -> Tuning:
    """A built-in tuning by name, in any letter case; `half-valved …` puts valves on it.

    `spiral from D` starts the chain of thirds of the key's major scale on that note. Errors:
    HarpError naming the closest known tuning.
    """
    plain = " ".join(name.lower().replace("-", " ").split())
    half = plain.startswith("half valved")
    base = plain.removeprefix("half valved").strip() or "richter"
    tuning = spiral(base, key) if base.startswith("spiral") else _builtin(base, name)
    if not half:
        return tuning
    if tuning.valves is not Valves.NONE:
        raise _bad(f"{shown(name)} has valves already", "Only an unvalved harp is half-valved")
    return replace(tuning, name=_HALF_VALVED + tuning.name, valves=Valves.HALF)


def spiral(name: str, key: str) -> Tuning:
    """The spiral (circular) layout in a key, its start note stated: `spiral from E`."""
    start = name.removeprefix("spiral").strip().removeprefix("from").strip() or key
    degree = (pitch_class(start) - pitch_class(key)) % 12
    if degree not in _MAJOR:
        raise _bad(
            f"{shown(name)} on a harp in {key}",
            "A spiral harp starts on a note of its own major key",
            f"start on a note of {key} major",
        )
    first = _MAJOR.index(degree)
    blow = tuple(_scale_step(first + 2 * third) for third in range(10))
    draw = tuple(_scale_step(first + 1 + 2 * third) for third in range(10))
    source = _table()["spiral"]["source"]
    return Tuning(f"spiral from {start[:1].upper() + start[1:]}", blow, draw, source=source)


def _scale_step(step: int) -> int:
    return 12 * (step // 7) + _MAJOR[step % 7]


def tuning_from_table(table: Mapping[str, Any], name: str = "own tuning") -> Tuning:
    """A tuning from the keys of a small TOML file; see `docs/tunings.md`.

    Keys: `name`, `base` (a built-in tuning), `blow` and `draw` (semitones above the key note),
    `change` (`{ "3d" = 10 }`), `label_position`, `valves`, `button`. Errors: HarpError.
    """
    known = {"name", "base", "blow", "draw", "change", "label_position", "valves", "button", "source"}
    unknown = sorted(set(table) - known)
    if unknown:
        raise _bad(f"unknown key {shown(unknown[0])} in a tuning", f"Keys are {', '.join(sorted(known))}")
    given = dict(table)
    base = _builtin(str(given["base"]), str(given["base"])) if "base" in given else None
    tuning = Tuning(
        name=_text(given.get("name", name), "name"),
        blow=_offsets(given["blow"], "blow") if "blow" in given else _row(base, "blow"),
        draw=_offsets(given["draw"], "draw") if "draw" in given else _row(base, "draw"),
        label_position=_whole(given.get("label_position", 1), "label_position"),
        valves=_valves(given.get("valves", "none")),
        button=given.get("button", False) is True,
        source=_text(given.get("source", ""), "source"),
    )
    changes = given.get("change", {})
    if not isinstance(changes, Mapping):
        raise _bad("`change` is not a table", 'Write it like change = { "3d" = 10 }')
    for reed, offset in changes.items():
        tuning = tuning.with_reed(*_reed(reed, tuning), _whole(offset, f"change of {reed}"))
    return tuning


def read_tuning(text: str, name: str) -> Tuning:
    """A user's own tuning from the text of a TOML file. Errors: HarpError."""
    try:
        table = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise _bad(f"{name} is not a TOML file: {error}", "See docs/tunings.md for the form") from None
    return tuning_from_table(table, name)


@cache
def _table() -> dict[str, dict[str, Any]]:
    text = files("reedwright.harp").joinpath("data/tunings.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def _builtin(plain: str, written: str) -> Tuning:
    key = plain.strip().lower().replace(" ", "-")
    if key not in _table():
        close = get_close_matches(key, _table(), n=1) or ["richter"]
        known = ", ".join(tuning_names())
        raise _bad(
            f"unknown tuning {shown(written)}",
            f"Built-in tunings are {known}; any may be written `half-valved …`",
            f"did you mean {_table()[close[0]]['name']!r}? A file of your own ends in .toml",
        )
    return tuning_from_table(_table()[key])


def _row(base: Tuning | None, which: str) -> tuple[int, ...]:
    if base is None:
        raise _bad(f"no `{which}` notes and no `base`", "A tuning gives both rows, or a base to change")
    return base.blow if which == "blow" else base.draw


def _offsets(value: object, which: str) -> tuple[int, ...]:
    if not isinstance(value, list):
        raise _bad(f"`{which}` is not a list", f"Write it like {which} = [0, 4, 7, 12]")
    return tuple(_whole(item, which) for item in value)


def _whole(value: object, what: str) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) > 1000:
        raise _bad(f"{what}: {shown(str(value))}", "This must be a whole number of semitones")
    return value


def _text(value: object, what: str) -> str:
    if not isinstance(value, str):
        raise _bad(f"`{what}` is not text", f'Write it like {what} = "…"')
    return value


def _valves(value: object) -> Valves:
    try:
        return Valves(str(value))
    except ValueError:
        raise _bad(f"valves = {shown(str(value))}", "Valves are none, half or all") from None


def _reed(name: str, tuning: Tuning) -> tuple[int, Breath]:
    number, letter = name[:-1], name[-1:]
    if letter not in ("b", "d") or not number.isascii() or not number.isdigit() or len(number) > 2:
        raise _bad(f"{shown(name)} is not a reed", "Name a reed by hole and breath, like 3d")
    if not 1 <= int(number) <= tuning.holes:
        raise _bad(f"no hole {int(number)}", f"This tuning has holes 1 to {tuning.holes}")
    return TabNote(int(number), Breath(letter)).hole, Breath(letter)


def _bad(found: str, rule: str, mend: str = "") -> HarpError:
    return HarpError(Problem(found=found, rule=rule, mend=mend))
