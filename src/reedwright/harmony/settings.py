"""The thresholds of this room, from `data/harmony.toml`. Lengths in counted beats, exact."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True)
class HarmonySettings:
    """See the data file for what each means and where it comes from."""

    held_beats: Fraction
    suspended_beats: Fraction
    landing_beats: Fraction
    phrase_rest_beats: Fraction
    chord_beats: Fraction


@cache
def settings() -> HarmonySettings:
    """The defaults that come with the program."""
    path = files("reedwright.harmony").joinpath("data/harmony.toml")
    table = tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Fraction)
    return HarmonySettings(
        held_beats=Fraction(table["held"]["beats"]),
        suspended_beats=Fraction(table["suspended"]["beats"]),
        landing_beats=Fraction(table["landing"]["beats"]),
        phrase_rest_beats=Fraction(table["phrase-end"]["rest_beats"]),
        chord_beats=Fraction(table["chord-rhythm"]["beats"]),
    )
