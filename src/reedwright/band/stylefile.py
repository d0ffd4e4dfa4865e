"""Reading one style of the band's rules.

Conventions: see `rules` and `rulestext`; the notation of rows is that of `patterns`.
"""

from __future__ import annotations

from collections.abc import Mapping

from reedwright.band.patterns import SPLITS, Row, row_of
from reedwright.band.rules import Strokes, Style, When
from reedwright.band.rulestext import Path, RulesText
from reedwright.band.values import Keys, Part
from reedwright.harp.pitch import shown

SIGNS = {
    Part.DRUMS: "xXo?.",
    Part.BASS: "R358car?-.",
    Part.GUITAR: "xXo?-.",
    Part.KEYS: "xXo?-.",
}
"""What may stand in a row of each part."""

PITCHED = (Part.BASS, Part.GUITAR, Part.KEYS)
_BEATS = {"four": 4, "three": 3, "turn": 4}
_MOST_BPM = 1000.0
_KEYS = (
    "remark", "keyboard", "compound", "swing", "minor", "asked", "slowest-bpm", "fastest-bpm",
    "groove", "fill", *(part.value for part in PITCHED),
)  # fmt: skip


def read_style(source: RulesText, name: str, value: object, kit: Mapping[str, int]) -> Style:
    """A style from its table; what is at fault is noted in `source`."""
    path = ("style", name)
    table = source.table(path, value, _KEYS)
    lines = {
        part: _lines(source, (*path, part.value), table.get(part.value), part) for part in PITCHED
    }
    return Style(
        name=name,
        remark=source.words(path, table, "remark"),
        keyboard=_keyboard(source, path, table),
        when=_when(source, path, table),
        grooves=_grooves(source, (*path, "groove"), table, kit),
        fills=_fills(source, (*path, "fill"), table, kit),
        lines=lines,
    )


def _keyboard(source: RulesText, path: Path, table: Mapping[str, object]) -> Keys:
    value = table.get("keyboard", Keys.ORGAN.value)
    if value in list(Keys):
        return Keys(str(value))
    found, rule = f"keyboard {shown(str(value))}", "A keyboard is " + " or ".join(Keys)
    source.bad(path, "keyboard", found, rule, f'write keyboard = "{Keys.ORGAN}"')
    return Keys.ORGAN


def _when(source: RulesText, path: Path, table: Mapping[str, object]) -> When:
    ends: dict[str, object] = {"slowest-bpm": 0.0, "fastest-bpm": _MOST_BPM, **table}
    return When(
        compound=source.yes(path, table, "compound"),
        swing=source.yes(path, table, "swing"),
        minor=source.yes(path, table, "minor"),
        asked=bool(source.yes(path, table, "asked")),
        slowest_bpm=source.number(path, ends, "slowest-bpm", 0, _MOST_BPM),
        fastest_bpm=source.number(path, ends, "fastest-bpm", 0, _MOST_BPM),
    )


def _grooves(
    source: RulesText, path: Path, table: Mapping[str, object], kit: Mapping[str, int]
) -> dict[int, tuple[Strokes, ...]]:
    """Bars of the drums, by their beats."""
    found: dict[int, list[Strokes]] = {4: [], 3: []}
    for number, groove in enumerate(source.tables(path, table.get("groove"))):
        where = (*path, number)
        beats = source.whole(where, groove, "beats", 3, 4)
        rows = {name: row for name, row in groove.items() if name != "beats"}
        found[beats].append(_strokes(source, where, rows, kit, beats))
    for beats, grooves in found.items():
        if not grooves:
            rule = "A style has a groove with beats = 4 and one with beats = 3"
            source.bad(path, "beats", f"no groove of {beats} beats", rule, "write one")
            grooves.append(())
    return {beats: tuple(grooves) for beats, grooves in found.items()}


def _fills(
    source: RulesText, path: Path, table: Mapping[str, object], kit: Mapping[str, int]
) -> tuple[Strokes, ...]:
    """Fills, each of as many beats as its rows have."""
    found: list[Strokes] = []
    for number, fill in enumerate(source.tables(path, table.get("fill"))):
        first = next(iter(fill.values()), "")
        beats = len(row_of(first)) if isinstance(first, str) else 1
        found.append(_strokes(source, (*path, number), fill, kit, min(max(beats, 1), 4)))
    return tuple(found)


def _strokes(
    source: RulesText, path: Path, rows: Mapping[str, object], kit: Mapping[str, int], beats: int
) -> Strokes:
    made: list[tuple[int, Row]] = []
    for name in rows:
        if name not in kit:
            found = f"{shown(name)} is not in the kit"
            source.bad(path, name, found, "The kit has " + ", ".join(kit), "add it to [kit]")
        made.append((kit.get(name, 0), _row(source, path, rows, name, Part.DRUMS, beats)))
    return tuple(made)


def _lines(source: RulesText, path: Path, value: object, part: Part) -> dict[str, tuple[Row, ...]]:
    """The rows of a part; a turn has four beats."""
    table = source.table(path, value, tuple(_BEATS))
    found: dict[str, tuple[Row, ...]] = {}
    for key, beats in _BEATS.items():
        texts = source.texts(path, table, key)
        rows = tuple(_row(source, path, {text: text}, text, part, beats) for text in texts)
        found[key] = rows or ((".",) * beats,)
    return found


def _row(
    source: RulesText, path: Path, rows: Mapping[str, object], key: str, part: Part, beats: int
) -> Row:
    """A row of the beats wanted; rests where it is at fault."""
    text = source.words(path, rows, key)
    row = row_of(text)
    strange = sorted({sign for signs in row for sign in signs} - set(SIGNS[part]))
    mend = f"write it like {' '.join(['x.' if part is not Part.BASS else 'R-'] * beats)}"
    if strange:
        found = f"{shown(strange[0])} in a row of the {part}"
        source.bad(path, text, found, f"Its signs are {' '.join(SIGNS[part])}", mend)
    elif len(row) != beats:
        found = f"a row of {len(row)} beats: {shown(text)}"
        source.bad(path, text or key, found, f"This row has {beats}", mend)
    elif any(len(signs) not in SPLITS for signs in row):
        found = f"a beat that is not shared evenly: {shown(text)}"
        source.bad(path, text, found, "A beat has 1, 2, 3, 4, 6 or 8 signs", mend)
    else:
        return row
    return (".",) * beats
