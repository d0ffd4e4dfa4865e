"""Temperaments: how far each reed is tuned from equal temperament.

Conventions: cents from equal temperament for each of the twelve semitones above the harp's key
note (first position), which itself is at 0 unless the user moves it. Bends and overbends aim at
the same table, so that a bent note sits in tune with the reeds round it. Sources: beside each
scheme in `data/temperaments.toml`; cents = 1200 · log2(ratio) − 100 · semitones.
"""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any

from reedwright.errors import HarpError, Problem
from reedwright.harp.pitch import shown
from reedwright.harp.tomltable import MAX_NAME, Table, written

LIMIT_CENTS = 100.0
"""Further away a reed would be another note."""

_KEYS = ("name", "ratios", "cents", "blend", "change", "source")
_SEMITONES = tuple(str(semitone) for semitone in range(12))
_RATIO = re.compile(r"[1-9][0-9]{0,8}/[1-9][0-9]{0,8}")


@dataclass(frozen=True, slots=True)
class Temperament:
    """`cents[i]`: how far the note i semitones above the key note lies from equal temperament."""

    name: str
    cents: tuple[float, ...] = (0.0,) * 12
    source: str = ""

    def __post_init__(self) -> None:
        title = f"temperament {shown(self.name)}"
        if not self.name.strip() or not self.name.isprintable() or len(self.name) > MAX_NAME:
            raise _bad(title, "The name of a temperament is one short line of text")
        fine = all(abs(value) <= LIMIT_CENTS for value in self.cents)  # False for NaN
        if len(self.cents) != 12 or not fine:
            raise _bad(
                f"{title} holds {', '.join(f'{value:g}' for value in self.cents[:12])}",
                "A temperament has twelve offsets, each within 100 cents of equal temperament",
            )


EQUAL = Temperament("equal", source="twelve equal semitones")


def ratio_cents(ratio: Fraction, semitones: int) -> float:
    """Cents of a just ratio from the equal-tempered interval of so many semitones."""
    return 1200.0 * math.log2(ratio) - 100.0 * semitones


def temperament_names() -> tuple[str, ...]:
    """The names of the built-in temperaments."""
    return tuple(str(entry["name"]) for entry in _table().values())


def temperament_named(name: str) -> Temperament:
    """A built-in temperament by its name (`equal`, `7-limit just`, `compromise` …)."""
    plain = " ".join(name.lower().split())
    by_name = {entry["name"].lower(): entry for entry in _table().values()}
    by_name |= _table()  # the short names of the data file work too
    if plain not in by_name:
        close = get_close_matches(plain[:40], by_name, n=1)
        raise _bad(
            f"unknown temperament {shown(name)}",
            f"Built-in temperaments are {', '.join(temperament_names())}",
            f"did you mean {by_name[close[0]]['name']!r}? A file of your own ends in .toml"
            if close
            else "write one of these, or the name of a file that ends in .toml",
        )
    return temperament_from_table(by_name[plain])


def temperament_from_table(table: Mapping[str, Any], name: str = "own temperament") -> Temperament:
    """A temperament from the keys of a small table. Errors: HarpError.

    Keys: `name`, `source`; `ratios` (twelve, as text), or `cents` (twelve numbers), or
    `blend = { of = "7-limit just", share = 0.5 }`; `change = { "4" = -5 }` moves single degrees.
    """
    return _temperament_from(Table(table), name)


def read_temperament(text: str, name: str) -> Temperament:
    """A user's own temperament from the text of a TOML file called `name`.

    Errors: HarpError with every fault found, each at its line.
    """
    return _temperament_from(Table.parse(text, name), "own temperament")


def _temperament_from(table: Table, name: str) -> Temperament:
    table.allow(*_KEYS)
    ways = [way for way in _WAYS if way in table.values]
    if len(ways) > 1:
        table.bad(ways[1], f"{' and '.join(ways)} at once", "It is given in one way", "keep one")
    given = _WAYS[ways[0]](table) if ways else ()
    cents = list(given or EQUAL.cents)  # nothing where it is at fault; `change` is still read
    for semitone, value in table.rows("change", '"5" = -10').items():
        if semitone in _SEMITONES:
            cents[int(semitone)] = table.number(semitone, value, -LIMIT_CENTS, LIMIT_CENTS)
        else:
            rule = "Semitones above the key note run from 0 to 11"
            table.bad(semitone, f"{shown(semitone)} in `change`", rule, "name one of them")
    title, source = table.words("name", name), table.remark("source")
    table.finish()
    return Temperament(title, tuple(cents), source)


def _from_ratios(table: Table) -> tuple[float, ...]:
    rows = _twelve(table, "ratios", 'write ratios as text, like "5/4"')
    return tuple(_ratio(table, text, step) for step, text in enumerate(rows))


def _from_cents(table: Table) -> tuple[float, ...]:
    rows = _twelve(table, "cents", "write numbers, like -13.7")
    return tuple(table.number("cents", value, -LIMIT_CENTS, LIMIT_CENTS) for value in rows)


def _from_blend(table: Table) -> tuple[float, ...]:
    blend = table.rows("blend", 'of = "5-limit just"')
    share = table.number("share", blend.get("share", 0.5), 0.0, 1.0)
    of = blend.get("of")
    try:
        scheme = temperament_named(of if isinstance(of, str) else written(of))
    except HarpError as error:
        for problem in error.problems:
            table.bad("of", problem.found, problem.rule, problem.mend)
        return EQUAL.cents
    return tuple(share * value for value in scheme.cents)


_WAYS = {"ratios": _from_ratios, "cents": _from_cents, "blend": _from_blend}


def _twelve(table: Table, key: str, mend: str) -> list[object]:
    rows = table.values[key]
    if isinstance(rows, list) and len(rows) == 12:
        return rows
    found = f"{len(rows)} values" if isinstance(rows, list) else f"{key} = {written(rows)}"
    table.bad(key, found, "Twelve are needed, one for each semitone above the key note", mend)
    return []


def _ratio(table: Table, text: object, semitones: int) -> float:
    """Cents of a ratio; the short pattern keeps `1e999999999` from being worked out."""
    if isinstance(text, str) and _RATIO.fullmatch(text):
        ratio = Fraction(text)
        if ratio > 0 and abs(ratio_cents(ratio, semitones)) <= LIMIT_CENTS:
            return ratio_cents(ratio, semitones)
    rule = f"Ratio {semitones + 1} is text like 5/4, a semitone at most from equal temperament"
    table.bad("ratios", f"{written(text)} for {semitones} semitones", rule, 'write it like "5/4"')
    return 0.0


@cache
def _table() -> dict[str, dict[str, Any]]:
    text = files("reedwright.harp").joinpath("data/temperaments.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def _bad(found: str, rule: str, mend: str = "") -> HarpError:
    return HarpError(Problem(found=found, rule=rule, mend=mend))
