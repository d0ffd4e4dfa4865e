"""The `Lungs:` line of a tune: a player's own numbers in a teacher's words.

Conventions: a setting is named as in `data/breath.toml`, in words and without its unit (`start`,
`vital capacity`, `breathe out`, `loudness very soft`); the name of the data file (`start_l`) is
understood too. Volumes are litres, flows litres a second, the gap at a turn seconds.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache

from reedwright.breath.lungs import Lungs
from reedwright.breath.settings import default_lungs, lungs_from, settings
from reedwright.errors import Place, Problem, SettingError
from reedwright.harp.pitch import shown
from reedwright.tune.headervalues import Settings
from reedwright.tune.tune import Tune
from reedwright.tune.values import Header

_NUMBER = re.compile(r"[0-9]{1,3}(?:\.[0-9]{1,6})?")


@cache
def friendly_names() -> Mapping[str, str]:
    """Setting by its name in words, in the order of the data file.

    >>> friendly_names()["breathe out"]
    'breathe_out_l_per_s'
    """
    return {re.sub(r"(_l)?(_per_s)?(_s)?$", "", key).replace("_", " "): key for key in settings()}


def lungs_of(tune: Tune, file: str = "") -> Lungs:
    """The lungs a tune is judged by: the defaults, with its `Lungs:` line in their place.

    Errors: SettingError with every fault of the line, at its place (in `file`, when named), unless
    the tune was read with `lungs_faults` as judge: then there is none.
    """
    return _lungs(tune.lungs, _place(tune, file)) if tune.lungs else default_lungs()


def lungs_faults(pairs: Settings) -> tuple[Problem, ...]:
    """What is wrong with the settings of a `Lungs:` line, for the reader of its file to place."""
    try:
        _lungs(pairs, Place())
    except SettingError as error:
        return error.problems
    return ()


def _lungs(pairs: Settings, place: Place) -> Lungs:
    """Errors: SettingError with every fault."""
    own: dict[str, object] = {}
    problems: list[Problem] = []
    for words, value in pairs:
        key = friendly_names().get(words, words if words in settings() else "")
        fault = _fault(words, value, key, own, place)
        if fault is None:
            own[key] = float(value)
        else:
            problems.append(fault)
    try:
        lungs = lungs_from(own, place)
    except SettingError as error:
        problems += [_in_words(problem) for problem in error.problems]
        raise SettingError(tuple(problems)) from None
    if problems:
        raise SettingError(tuple(problems))
    return lungs


def _fault(
    words: str, value: str, key: str, own: Mapping[str, object], place: Place
) -> Problem | None:
    if not key:
        close = get_close_matches(words[:40], friendly_names(), n=1)
        mend = f"did you mean {close[0]}?" if close else "write one of these"
        rule = f"Settings of the lungs are {', '.join(friendly_names())}"
        return Problem(f"unknown lungs setting {shown(words)}", rule, mend, place)
    if _NUMBER.fullmatch(value) is None:
        rule = "A setting is a name and a plain number, without its unit"
        return Problem(f"{words} is {shown(value)}", rule, "write it like `start 2.0`", place)
    if key in own:
        rule = "Each setting stands once"
        return Problem(f"{words} stands twice", rule, "keep one of the two", place)
    return None


def _in_words(problem: Problem) -> Problem:
    """A problem of the settings with the names a teacher writes; longer names go first, since
    `turn_gap_s` begins `turn_gap_share`."""
    found, rule, mend = problem.found, problem.rule, problem.mend
    for words, key in sorted(friendly_names().items(), key=lambda pair: -len(pair[1])):
        found, rule, mend = (text.replace(key, words) for text in (found, rule, mend))
    return Problem(found, rule, mend, problem.place)


def _place(tune: Tune, file: str) -> Place:
    line = tune.lines.get("Lungs", 0)
    headers = (item for item in tune.text.head if isinstance(item, Header))
    return Place(line, next((item.column for item in headers if item.line == line), 0), file)
