"""An amp file, `NAME.amp`: TOML, read with every fault found in one go.

Conventions: the file needs only what differs from the default rig; each section is a stage and may
be left out. The text comes in from the caller. Faults are `Problem`s at their line and column.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import asdict
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from typing import Any

from reedwright.amp.lines import FORM, MEND, place_of, unread
from reedwright.amp.rig import (
    NAME_CHARS,
    POWER_DRIVE_DB,
    PREAMP_DRIVE_DB,
    Rig,
    power_drive_db,
    preamp_drive_db,
)
from reedwright.amp.values import (
    Cup,
    Echo,
    Listening,
    Microphone,
    Power,
    Preamp,
    Room,
    Section,
    Speaker,
    Spring,
    Stage,
    Tremolo,
    bounds,
)
from reedwright.errors import Place, Problem, SettingError
from reedwright.harp.pitch import shown
from reedwright.harp.tomltable import written

SUFFIX = ".amp"
MAX_CHARS = 100_000
"""Longer than any amp file with remarks; keeps the parser's work bounded."""

MAX_PROBLEMS = 60
"""Faults said; there are fewer figures."""

Bad = Callable[[str, str, str, str, str], None]
"""Notes a fault: section, key, what was found, the rule, the mend."""

SECTIONS: dict[str, type[Section]] = {
    "cup": Cup,
    "microphone": Microphone,
    "preamp": Preamp,
    "power": Power,
    "speaker": Speaker,
    "tremolo": Tremolo,
    "echo": Echo,
    "spring": Spring,
    "room": Room,
    "stage": Stage,
    "listening": Listening,
}


@cache
def default_text() -> str:
    """The amp file of the default rig, remarks and all."""
    return files("reedwright.amp").joinpath("data/default.amp").read_text(encoding="utf-8")


@cache
def default_rig() -> Rig:
    """The rig that plays where no amp file is named."""
    table = tomllib.loads(default_text())
    sections = {
        name: kind(**{key: float(value) for key, value in table[name].items()})
        for name, kind in SECTIONS.items()
    }
    return Rig(name=table["name"], **sections)  # type: ignore[arg-type]  # each of its own kind


def read_rig(text: str, file: str) -> Rig:
    """The rig an amp file describes. Errors: SettingError with every fault, each at its line."""
    table = _parsed(text, file)
    problems: list[Problem] = []

    def bad(section: str, key: str, found: str, rule: str, mend: str) -> None:
        problems.append(Problem(found, rule, mend, place_of(text, file, section, key)))

    values = asdict(default_rig())
    values["name"] = _name(table, bad)
    for key, given in table.items():
        if key in SECTIONS and isinstance(given, Mapping):
            values[key] |= _figures(key, given, bad)
        elif key in SECTIONS:
            bad("", key, f"{key} = {written(given)}", f"[{key}] is a section", f"write [{key}]")
        elif key != "name":
            bad("", key, *_unknown(key, ("name", *SECTIONS), "Sections"))
    kinds = {name: kind(**values[name]) for name, kind in SECTIONS.items()}
    _drive(kinds, bad)
    if problems:
        in_order = sorted(problems, key=lambda one: (one.place.line, one.place.column))
        raise SettingError(tuple(in_order[:MAX_PROBLEMS]))
    return Rig(name=values["name"], **kinds)  # type: ignore[arg-type]


def _parsed(text: str, file: str) -> dict[str, Any]:
    whole = Place(file=file)
    if len(text) > MAX_CHARS:
        found, rule = f"{len(text)} characters", f"{MAX_CHARS} at most are read"
        raise SettingError(Problem(found, rule, "shorten it", whole))
    try:
        return tomllib.loads(text)
    except RecursionError:
        problem = Problem("tables nested too deep", FORM, MEND, whole)
    except tomllib.TOMLDecodeError as error:
        problem = unread(str(error), text, file)
    except ValueError:  # Python's own bound on the digits of an int
        problem = Problem("a number too long to read", FORM, MEND, whole)
    raise SettingError(problem)


def _name(table: Mapping[str, Any], bad: Bad) -> str:
    name = table.get("name", "My rig")
    if isinstance(name, str) and name.strip() and name.isprintable() and len(name) <= NAME_CHARS:
        return name
    rule = f"A rig's name is one line of text, {NAME_CHARS} characters at most"
    bad("", "name", f"name = {written(name)}", rule, 'write it like name = "My rig"')
    return "My rig"


def _figures(section: str, given: Mapping[str, object], bad: Bad) -> dict[str, float]:
    """The sound figures of a section; a fault is noted for each of the others."""
    limits = {name: (low, high) for name, low, high in bounds(SECTIONS[section])}
    sound = {}
    for key, value in given.items():
        if key not in limits:
            bad(section, key, *_unknown(key, tuple(limits), f"Keys of [{section}]"))
            continue
        low, high = limits[key]
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if number and low <= value <= high:  # type: ignore[operator]  # a number; false for NaN
            sound[key] = float(value)  # type: ignore[arg-type]
        else:
            rule = f"A number from {low:g} to {high:g} is needed"
            bad(section, key, f"{key} = {written(value)}", rule, "write one in between")
    return sound


def _unknown(key: str, known: tuple[str, ...], what: str) -> tuple[str, str, str]:
    close = get_close_matches(key[:NAME_CHARS], known, n=1)
    mend = f"did you mean {close[0]}?" if close else "delete it"
    return f"unknown {shown(key)}", f"{what} are {', '.join(known)}", mend


def _drive(values: Mapping[str, Any], bad: Bad) -> None:
    """No stage is driven beyond what was measured to stay free of aliases."""
    preamp, power = values["preamp"], values["power"]
    over_db = preamp_drive_db(values["cup"], values["microphone"], preamp) - PREAMP_DRIVE_DB
    if over_db > 0:
        found = f"a full-scale closed note drives the preamp {over_db:.1f} dB too far"
        rule = f"{PREAMP_DRIVE_DB:g} dB over its headroom are the most that stays clean of aliases"
        bad("preamp", "gain_db", found, rule, f"lower gain_db by {over_db + 0.05:.1f}")
    over_db = power_drive_db(preamp, power) - POWER_DRIVE_DB
    if over_db > 0:
        found = f"the preamp at its loudest drives the power stage {over_db:.1f} dB too far"
        rule = f"{POWER_DRIVE_DB:g} dB over its headroom are the most that stays clean of aliases"
        bad("power", "volume_db", found, rule, f"lower volume_db by {over_db + 0.05:.1f}")
