"""What a teacher allows and owns when a harp is looked for.

Conventions: `abilities` as in the tune room, None for everything; keys as printed on harps.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from reedwright.errors import Problem, SettingError
from reedwright.harp.harp import Harp, Variant
from reedwright.harp.position import POSITIONS
from reedwright.harp.tuning import tuning_named

KEYS = ("G", "Ab", "A", "Bb", "B", "C", "Db", "D", "Eb", "E", "F", "F#")
TUNINGS = (
    *("Richter", "country", "raised third blow", "natural minor", "harmonic minor", "solo"),
    "spiral",
)
MAX_CHOICES, MAX_TABS = 50, 50


def all_harps(
    keys: tuple[str, ...] = KEYS,
    tunings: tuple[str, ...] = TUNINGS,
    variants: tuple[Variant, ...] = (Variant.STANDARD,),
) -> tuple[Harp, ...]:
    """Every harp of these keys, tunings and registers. Errors: HarpError."""
    return tuple(
        Harp(key, tuning_named(tuning, key), variant)
        for tuning in tunings
        for key in keys
        for variant in variants
    )


@dataclass(frozen=True, slots=True)
class Wishes:
    """What may be used.

    Attributes:
        harps: the harps to choose from.
        abilities: ids of the techniques the student has, None for all.
        drop: leave notes out that no hole gives.
        fold: move such notes by an octave.
        transpose: put the melody into another key.
        position: the only position wanted, 0 for any.
        choices: how many choices to give.
        tabs: how many different tabs to give for the first.
    """

    harps: tuple[Harp, ...] = field(default_factory=all_harps)
    abilities: frozenset[str] | None = None
    drop: bool = False
    fold: bool = False
    transpose: bool = False
    position: int = 0
    choices: int = 3
    tabs: int = 3

    def __post_init__(self) -> None:
        for name, value, most in (
            ("choices", self.choices, MAX_CHOICES),
            ("tabs", self.tabs, MAX_TABS),
        ):
            if not 1 <= value <= most:
                raise SettingError(Problem(f"{value} {name}", f"It lies between 1 and {most}"))
        if self.position and self.position not in POSITIONS:
            raise SettingError(Problem(f"position {self.position}", "Positions run from 1 to 12"))
        if not self.harps:
            raise SettingError(Problem("no harp to choose from", "At least one is needed"))
