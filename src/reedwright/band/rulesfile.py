"""Reading the rules of the band from text, with every fault found in one go.

Conventions: see `rules`. A fault names the file, and the line and column where the text at fault
stands, as far as it can be found again.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from reedwright.band.rules import TONES, Rules, Style
from reedwright.band.rulestext import RulesText
from reedwright.band.stylefile import PITCHED, read_style
from reedwright.band.values import Part
from reedwright.harp.pitch import shown
from reedwright.tables import table_text
from reedwright.tune.chords import QUALITIES

NAME = "band.toml"
_TOP = (
    "order", "now-and-then", "vary", "fill", "phrase", "dynamics", "jitter", "velocity", "kit",
    "range", "approach", "voicing", "style",
)  # fmt: skip
_NEEDED = ("kick", "snare", "crash")
_LOWEST_SPAN = 14  # semitones of a range, so that every chord and every root has a place in it


@cache
def rules() -> Rules:
    """The rules that come with the program, or a teacher's own (see `tables`)."""
    return read_rules(*table_text(NAME))


def read_rules(text: str, file: str = NAME) -> Rules:
    """Rules from TOML text. Errors: SettingError with all its faults."""
    source = RulesText.parse(text, file)
    top = source.table((), source.values, _TOP)
    kit = _kit(source, top)
    styles = _styles(source, top, kit)
    made = Rules(
        styles=styles,
        now_and_then=source.number((), top, "now-and-then", 0, 1),
        vary=source.number((), top, "vary", 0, 1),
        fill=source.number((), top, "fill", 0, 1),
        phrase=source.whole((), top, "phrase", 1, 128),
        dynamics=source.numbers((), top, "dynamics", 0.1, 1),
        jitter=source.number((), top, "jitter", 0, 0.2),
        velocity=_numbers(source, top, "velocity", tuple("o?xX"), 0.05, 1),
        ranges=_ranges(source, top),
        approach=_numbers(source, top, "approach", ("half-step", "scale-step", "fifth"), 0, 1000),
        crash=kit.get("crash", 0),
        kick=kit.get("kick", 0),
        snare=kit.get("snare", 0),
        voicings=_voicings(source, top),
    )
    if not sum(made.approach.values()):
        source.bad(("approach",), "half-step", "no way to the next root", "One weight is above 0")
    source.finish()
    return made


def _numbers(
    source: RulesText,
    top: Mapping[str, object],
    name: str,
    keys: tuple[str, ...],
    low: float,
    high: float,
) -> dict[str, float]:
    table = source.table((name,), top.get(name), keys)
    return {key: source.number((name,), table, key, low, high) for key in keys}


def _kit(source: RulesText, top: Mapping[str, object]) -> dict[str, int]:
    table = source.table(("kit",), top.get("kit"))
    for key in _NEEDED:
        if key not in table:
            source.bad(("kit",), key, f"no {key} in the kit", "The kit has " + ", ".join(_NEEDED))
    return {key: source.whole(("kit",), table, key, 0, 127) for key in table}


def _ranges(source: RulesText, top: Mapping[str, object]) -> dict[Part, tuple[int, int]]:
    names = tuple(part.value for part in PITCHED)
    table = source.table(("range",), top.get("range"), names)
    found: dict[Part, tuple[int, int]] = {}
    for part in PITCHED:
        ends = table.get(part.value)
        if (
            isinstance(ends, list)
            and len(ends) == 2
            and all(type(end) is int and 0 <= end <= 127 for end in ends)
            and ends[1] - ends[0] >= _LOWEST_SPAN
        ):
            found[part] = (ends[0], ends[1])
            continue
        rule = f"A range is its lowest and highest MIDI note, at least {_LOWEST_SPAN} apart"
        source.bad(("range",), part.value, f"no range of the {part.value}", rule)
        found[part] = (0, 127)
    return found


def _voicings(
    source: RulesText, top: Mapping[str, object]
) -> dict[Part, dict[str, tuple[tuple[int, ...], ...]]]:
    parts = source.table(("voicing",), top.get("voicing"), ("guitar", "keys"))
    found: dict[Part, dict[str, tuple[tuple[int, ...], ...]]] = {}
    for part in (Part.GUITAR, Part.KEYS):
        path = ("voicing", part.value)
        table = source.table(path, parts.get(part.value), tuple(QUALITIES))
        found[part] = {
            quality: tuple(
                _tones(source, path, quality, text) for text in source.texts(path, table, quality)
            )
            for quality in table
        }
    return found


def _tones(source: RulesText, path: tuple[str, ...], quality: str, text: str) -> tuple[int, ...]:
    names = text.split()
    unknown = [name for name in names if name not in TONES]
    distinct = {TONES[name] for name in names if name in TONES}
    if unknown or len(distinct) != len(names) or not 2 <= len(names) <= 5:
        found = f"{unknown[0]} is no note of a chord" if unknown else f"the notes {text}"
        rule = "A voicing has 2 to 5 different notes of " + " ".join(TONES)
        source.bad(path, text, found, rule)
        return QUALITIES[quality]
    return tuple(TONES[name] for name in names)


def _styles(
    source: RulesText, top: Mapping[str, object], kit: Mapping[str, int]
) -> dict[str, Style]:
    table = source.table(("style",), top.get("style"))
    order = source.texts((), top, "order")
    for name in dict.fromkeys((*order, *table)):
        if name not in table or order.count(name) != 1:
            rule = "Each style stands once in `order`, in which they are tried, and has a table"
            path = ("style", name) if name in table else ()
            source.bad(path, name, f"style {shown(name)}", rule, "mend `order`")
    return {name: read_style(source, name, table[name], kit) for name in order if name in table}
