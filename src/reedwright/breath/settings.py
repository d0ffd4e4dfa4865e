"""A player's own numbers: the defaults, and what a user sets in their place.

Conventions: a setting is a flat name such as `draw_l_per_s` with a number. Volumes that are not
set themselves keep their share of the vital capacity when that is set (a child's lungs from one
number), and are then moved inside the comfortable limits. Source: `data/breath.toml`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from difflib import get_close_matches
from functools import cache
from importlib.resources import files

from reedwright.breath.lungs import Lungs
from reedwright.errors import Place, Problem, SettingError

_COMFORTABLE = ("comfortable_low_l", "comfortable_high_l")
_INSIDE_COMFORTABLE = ("easy_low_l", "easy_high_l", "start_l")
_NOWHERE = Place()
_SHOWN_CHARS = 40  # enough to recognise what was typed; a 400-digit number is not repeated whole


@dataclass(frozen=True, slots=True)
class Setting:
    """One row of `data/breath.toml`."""

    name: str
    value: float
    least: float
    most: float
    origin: str


@cache
def settings() -> Mapping[str, Setting]:
    """Every setting by name, in the order of the data file."""
    text = files("reedwright.breath").joinpath("data/breath.toml").read_text(encoding="utf-8")
    return {name: Setting(name, **row) for name, row in tomllib.loads(text).items()}


@cache
def default_lungs() -> Lungs:
    """An adult with textbook volumes, and flows from memory."""
    return Lungs(**{name: setting.value for name, setting in settings().items()})


def lungs_from(own: Mapping[str, object], place: Place = _NOWHERE) -> Lungs:
    """The default lungs with a user's own numbers in place.

    `place` is where they were written. Errors: SettingError naming every unknown name, every
    value that is no number or out of range, and every pair in the wrong order.

    >>> lungs_from({"vital_capacity_l": 2.4}).comfortable
    Limits(low_l=0.3, high_l=2.0)
    """
    faults = [_fault(name, value, place) for name, value in own.items()]
    problems = tuple(fault for fault in faults if fault is not None)
    if problems:
        raise SettingError(problems)
    given = {name: float(value) for name, value in own.items() if isinstance(value, int | float)}
    try:
        return Lungs(**_filled(given))
    except SettingError as error:
        raise SettingError(
            tuple(Problem(p.found, p.rule, p.mend, place) for p in error.problems)
        ) from None


def _filled(given: Mapping[str, float]) -> dict[str, float]:
    """All settings: those given, and the rest scaled to the vital capacity."""
    whole = asdict(default_lungs())
    scale = given.get("vital_capacity_l", whole["vital_capacity_l"]) / whole["vital_capacity_l"]
    whole |= {name: whole[name] * scale for name in (*_COMFORTABLE, *_INSIDE_COMFORTABLE)}
    whole |= given
    low, high = (whole[name] for name in _COMFORTABLE)
    free = [name for name in _INSIDE_COMFORTABLE if name not in given]
    return whole | {name: min(max(whole[name], low), high) for name in free}


def _fault(name: object, value: object, place: Place) -> Problem | None:
    known = settings()
    if not isinstance(name, str) or name not in known:
        close = get_close_matches(str(name)[:_SHOWN_CHARS], known, n=1)
        mend = f"did you mean {close[0]}?" if close else ""
        rule = f"Breath settings are {', '.join(known)}"
        return Problem(f"unknown breath setting {_shown(name)}", rule, mend, place)
    setting = known[name]
    if isinstance(value, bool) or not isinstance(value, int | float):
        return Problem(f"{name} is {_shown(value)}", "It must be a number", "", place)
    if not setting.least <= value <= setting.most:  # also false for NaN
        rule = f"It must lie between {setting.least:g} and {setting.most:g}"
        mend = f"leave it out for the default, {setting.value:g}"
        return Problem(f"{name} is {_shown(value)}", rule, mend, place)
    return None


def _shown(value: object) -> str:
    """What was typed, cut short; whole numbers of any length are safe here."""
    if isinstance(value, int) and abs(value) >= 10**_SHOWN_CHARS:
        return "a whole number of more than 40 digits"
    text = repr(value)
    return text if len(text) <= _SHOWN_CHARS else text[: _SHOWN_CHARS - 1] + "…"
