"""What stands under the staff: tab in the middle below its note, words on technique, the count.

Conventions: lengths as in `svg`. The engraver gave every line of lyrics its own height for the
whole line of music; tab stays there, while words on technique and counts move up to the first
free place below the tab of their own note.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

from lxml import etree

from reedwright.sheet.glyphs import text_width
from reedwright.sheet.prepare import GUARD, TECHNIQUE_LINE, Mark
from reedwright.sheet.svg import SVG, Bar, Column, children, new_text, said, set_text

Element: TypeAlias = "etree._Element"

# Sizes are ours, chosen by eye on paper: a staff is 720 high, 6 mm in normal print.
GREY = "#444"
_TAB_SIZE, _SMALLEST_TAB = 470.0, 320.0
_TAB_APART = 110  # at least half a figure between two signs
_WORDS_APART = 260  # and a wide blank between words, or two of them would read as one
_SMALL_SIZE = 360.0
_TAB = {"font-weight": "600", "text-anchor": "middle"}
_TECHNIQUE = {"font-size": f"{_SMALL_SIZE:g}", "font-style": "italic", "text-anchor": "middle"}
_COUNT = {**_TECHNIQUE, "fill": GREY}
_STEP = 450.0  # from one line of text to the next
_BELOW_STAFF = 900.0  # from the staff's middle to text under a bar without tab


@dataclass(frozen=True, slots=True)
class _Placed:
    """A text where it stands: its middle, its baseline and its width."""

    x: float
    y: float
    width: float
    tab: bool = False

    def meets(self, x: float, y: float, width: float) -> bool:
        """Whether words there would touch this text."""
        apart = _TAB_APART if self.tab else _WORDS_APART
        near = abs(self.x - x) < (self.width + width) / 2 + apart
        return near and abs(self.y - y) < _STEP * 0.75


@dataclass(frozen=True, slots=True)
class _Lyric:
    """What the engraver wrote under a column, and its baseline (y)."""

    column: Column
    text: Element
    content: str
    technique: bool
    y: float


def _tab_size(lyrics: Sequence[_Lyric]) -> float:
    """The type size at which no two tab signs of a line of music touch."""
    rows: dict[float, list[tuple[float, float]]] = {}
    for one in lyrics:
        if not one.technique:
            width = text_width(one.content, 1, bold=True)
            rows.setdefault(one.y, []).append((one.column.x, width))
    fitting = _TAB_SIZE
    for row in rows.values():
        for (x, width), (next_x, next_width) in pairwise(sorted(row)):
            free = next_x - x - _TAB_APART
            fitting = min(fitting, 2 * free / max(width + next_width, 0.01))
    return max(fitting, _SMALLEST_TAB)


def _lyrics(column: Column) -> Iterator[_Lyric]:
    for verse in children(column.group, "verse"):
        technique = verse.get("data-n") == str(TECHNIQUE_LINE)
        for text in list(verse.iter(f"{SVG}text")):
            content = said(text).replace(GUARD, "")
            yield _Lyric(column, text, content, technique, float(text.get("y", "0")))


def set_under(bars: Sequence[Bar], marks: Mapping[str, Sequence[Mark]]) -> tuple[float, float]:
    """Set everything under one line of music.

    Returns:
        The lowest baseline (y) before and after; 0 without any text.
    """
    placed: dict[int, list[_Placed]] = {}
    lyrics = [lyric for bar in bars for column in bar.columns for lyric in _lyrics(column)]
    size = _tab_size(lyrics)
    style = {**_TAB, "font-size": f"{size:.4g}"}
    lowest = max((lyric.y for lyric in lyrics), default=0.0)
    for lyric in lyrics:
        if not lyric.technique:
            placed.setdefault(id(lyric.column), []).append(_set_tab(lyric, size, style))
    for lyric in lyrics:
        if lyric.technique:
            _set_technique(lyric, placed)
    for bar in bars:
        _set_counts(bar, marks, placed)
    ends = [one.y for texts in placed.values() for one in texts]
    return lowest, max(ends, default=0.0)


def _set_tab(tab: _Lyric, size: float, style: Mapping[str, str]) -> _Placed:
    width = text_width(tab.content, size, bold=True)
    set_text(tab.text, tab.content, tab.column.x, tab.y, style)
    return _Placed(tab.column.x, tab.y, width, tab=True)


def _set_technique(technique: _Lyric, placed: dict[int, list[_Placed]]) -> None:
    column = technique.column
    width = text_width(technique.content, _SMALL_SIZE)
    y = _free(column.x, _under(column, placed), width, placed)
    set_text(technique.text, technique.content, column.x, y, _TECHNIQUE)
    placed.setdefault(id(column), []).append(_Placed(column.x, y, width))


def _set_counts(
    bar: Bar, marks: Mapping[str, Sequence[Mark]], placed: dict[int, list[_Placed]]
) -> None:
    """The counts of a bar, all on one line, at the end of the bar's text."""
    counts = [
        (column, mark.text, text_width(mark.text, _SMALL_SIZE))
        for column in bar.columns
        for mark in marks_of(column, marks)
        if mark.kind == "count"
    ]
    y = max((_under(column, placed) for column, _, _ in counts), default=0.0)
    for column, _, width in counts:
        y = _free(column.x, y, width, placed)
    for column, said_here, width in counts:
        bar.group.append(new_text(said_here, column.x, y, _COUNT))
        placed.setdefault(id(column), []).append(_Placed(column.x, y, width))


def _under(column: Column, placed: dict[int, list[_Placed]]) -> float:
    """The first line below the text of the column."""
    own = placed.get(id(column))
    return max(one.y for one in own) + _STEP if own else column.y + _BELOW_STAFF


def _free(x: float, y: float, width: float, placed: dict[int, list[_Placed]]) -> float:
    """The first line from `y` down on which the text would touch nothing."""
    others = [one for texts in placed.values() for one in texts]
    while any(one.meets(x, y, width) for one in others):
        y += _STEP
    return y


def marks_of(column: Column, marks: Mapping[str, Sequence[Mark]]) -> Iterator[Mark]:
    """What is to be drawn at a note, chord or rest."""
    for one in [column.group, *children(column.group, "note")]:
        yield from marks.get(one.get("id") or "", ())
