"""Temperaments: how far each reed is tuned from equal temperament.

Conventions: cents from equal temperament for each of the twelve semitones above the harp's key
note (first position), which itself is at 0. Bends and overbends aim at
the same table, so that a bent note sits in tune with the reeds round it. Sources: beside each
scheme in `data/temperaments.toml`; cents = 1200 · log2(ratio) − 100 · semitones.
"""

from __future__ import annotations

import math
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

_LIMIT_CENTS = 100.0


@dataclass(frozen=True, slots=True)
class Temperament:
    """`cents[i]`: how far the note i semitones above the key note lies from equal temperament."""

    name: str
    cents: tuple[float, ...] = (0.0,) * 12
    source: str = ""

    def __post_init__(self) -> None:
        fine = all(abs(value) <= _LIMIT_CENTS for value in self.cents)  # False for NaN
        if len(self.cents) != 12 or not fine:
            raise _bad(
                f"temperament {shown(self.name)} with {len(self.cents)} values",
                "A temperament has twelve offsets, each within 100 cents of equal temperament",
            )


EQUAL = Temperament("equal", source="twelve equal semitones")


def ratio_cents(ratio: Fraction, semitones: int) -> float:
    """Cents of a just ratio from the equal-tempered interval of so many semitones."""
    return 1200.0 * math.log2(ratio) - 100.0 * semitones


def temperament_names() -> tuple[str, ...]:
    return tuple(str(entry["name"]) for entry in _table().values())


def temperament_named(name: str) -> Temperament:
    """A built-in temperament by its name (`equal`, `7-limit just`, `compromise` …)."""
    plain = " ".join(name.lower().split())
    by_name = {entry["name"].lower(): entry for entry in _table().values()} | _table()
    if plain not in by_name:
        close = get_close_matches(plain, by_name, n=1) or ["equal"]
        raise _bad(
            f"unknown temperament {shown(name)}",
            f"Built-in temperaments are {', '.join(temperament_names())}",
            f"did you mean {by_name[close[0]]['name']!r}? A file of your own ends in .toml",
        )
    return temperament_from_table(by_name[plain])


def temperament_from_table(table: Mapping[str, Any], name: str = "own temperament") -> Temperament:
    """A temperament from TOML keys: `ratios` (twelve, as text), or `cents` (twelve numbers),
    or `blend = { of = "just-7", share = 0.5 }`; `change = { "4" = -5 }` moves single degrees."""
    title = str(table.get("name", name))
    cents = list(_base_cents(table))
    changes = table.get("change", {})
    if not isinstance(changes, Mapping):
        raise _bad("`change` is not a table", 'Write it like change = { "4" = -5 }')
    for semitone, value in changes.items():
        if not (semitone.isascii() and semitone.isdigit() and len(semitone) < 3 and int(semitone) < 12):
            raise _bad(f"{shown(str(semitone))} in `change`", "Semitones above the key run from 0 to 11")
        cents[int(semitone)] = _number(value)
    return Temperament(title, tuple(cents), str(table.get("source", "")))


def read_temperament(text: str, name: str) -> Temperament:
    """A user's own temperament from the text of a TOML file. Errors: HarpError."""
    try:
        table = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise _bad(f"{name} is not a TOML file: {error}", "See docs/tunings.md for the form") from None
    return temperament_from_table(table, name)


def _base_cents(table: Mapping[str, Any]) -> tuple[float, ...]:
    if "ratios" in table:
        ratios = table["ratios"]
        if not isinstance(ratios, list) or len(ratios) != 12:
            raise _bad("`ratios` is not a list of twelve", 'Write ratios as text, like "5/4"')
        return tuple(ratio_cents(_ratio(text), step) for step, text in enumerate(ratios))
    if "cents" in table:
        values = table["cents"]
        if not isinstance(values, list):
            raise _bad("`cents` is not a list", "Write twelve numbers")
        return tuple(_number(value) for value in values)
    if "blend" in table:
        blend = table["blend"]
        if not isinstance(blend, Mapping) or blend.get("of") not in _table():
            raise _bad("`blend` names no scheme", 'Write it like blend = { of = "just-7", share = 0.5 }')
        share = _number(blend.get("share", 0.5))
        if blend["of"] == "compromise":
            raise _bad("a blend of a blend", "Blend one of the just schemes")
        return tuple(share * value for value in temperament_named(blend["of"]).cents)
    return EQUAL.cents


def _ratio(text: object) -> Fraction:
    try:
        ratio = Fraction(str(text)[:40])
    except (ValueError, ZeroDivisionError):
        ratio = Fraction(0)
    if not Fraction(1, 2) < ratio < 4:
        raise _bad(f"{shown(str(text))} is not a ratio", "A ratio is like 5/4, from 1/1 up to the octave")
    return ratio


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= _LIMIT_CENTS:
        raise _bad(f"{shown(str(value))} is not a number of cents", "Offsets lie within ±100 cents")
    return float(value)


@cache
def _table() -> dict[str, dict[str, Any]]:
    text = files("reedwright.harp").joinpath("data/temperaments.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def _bad(found: str, rule: str, mend: str = "") -> HarpError:
    return HarpError(Problem(found=found, rule=rule, mend=mend))
