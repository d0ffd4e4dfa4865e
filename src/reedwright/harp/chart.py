"""The chart of a harp as text for a terminal, readable without colour at any width, and as JSON.

Conventions: the label of a row says how deep its notes are bent; `o` behind a pitch is an overbend,
as in tab. A harp too wide for the terminal is shown as two or more groups of holes, one below the
other. The signs are plain ASCII, fit for any terminal.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Callable, Iterator

from reedwright.harp.harp import Harp
from reedwright.harp.layout import Cell, Chart, Row, cells_of, chart_of
from reedwright.harp.pitch import harp_key
from reedwright.harp.position import mode_of, position_key, position_name

SCHEMA = "reedwright.harp/1"

_BOLD, _DIM, _KEY_NOTE, _OFF = "\x1b[1m", "\x1b[2m", "\x1b[1;7m", "\x1b[0m"  # ECMA-48
_LEGEND = {
    "bend": "bend 1: down one semitone",
    "overbend": "o: overbend",
    "button": "button: pressed",
}


def chart_text(
    harp: Harp, position: int | None = None, colour: bool = False, width: int = 80
) -> str:
    """The chart of a harp, with degrees when a position is given; ends with a newline."""
    chart = chart_of(harp, position)
    label = max(len(row.label) for row in chart.rows) + 1
    column = max(len(text) for row in chart.rows for text in _texts(chart, row)) + 1
    fitting = max(1, (width - label) // column)
    groups = math.ceil(chart.holes / fitting)
    each = math.ceil(chart.holes / groups)
    style = _Style(colour, label, column)
    lines = [*_heading(chart, colour, width)]
    for first in range(0, chart.holes, each):
        lines += ["", *_group(chart, first, min(first + each, chart.holes), style)]
    return "\n".join(line.rstrip() for line in [*lines, "", *_legend(chart, width)]) + "\n"


class _Style:
    """How wide the columns are, and whether escape codes are written."""

    def __init__(self, colour: bool, label: int, column: int) -> None:
        self.colour, self.label, self.column = colour, label, column

    def line(self, label: str, texts: list[tuple[str, str]]) -> str:
        """A line of (text, escape code) columns behind its label."""
        parts = [self.paint(label.ljust(self.label), _DIM)]
        for text, code in texts:
            pad = self.column - len(text)
            parts.append(" " * (pad - pad // 2) + self.paint(text, code) + " " * (pad // 2))
        return "".join(parts)

    def paint(self, text: str, code: str) -> str:
        return f"{code}{text}{_OFF}" if self.colour and code and text.strip() else text


def _heading(chart: Chart, colour: bool, width: int) -> Iterator[str]:
    for number, text in enumerate((chart.title, *chart.remarks)):
        for line in textwrap.wrap(text, max(width, 20)):
            yield f"{_BOLD}{line}{_OFF}" if colour and number == 0 else line


def _group(chart: Chart, first: int, last: int, style: _Style) -> Iterator[str]:
    """The rows of some neighbouring holes."""
    for row in chart.above:
        yield from _row(chart, row, first, last, style)
    rule = "-" * style.column * (last - first)
    numbers = [(str(hole), _BOLD) for hole in range(first + 1, last + 1)]
    yield from (" " * style.label + rule, style.line("hole", numbers), " " * style.label + rule)
    for row in chart.below:
        yield from _row(chart, row, first, last, style)


def _row(chart: Chart, row: Row, first: int, last: int, style: _Style) -> Iterator[str]:
    cells = row.cells[first:last]
    if not any(cells):
        return
    label = row.label
    for shown in _lines_of(chart):
        texts = [(shown(cell), _code(chart, cell, shown)) if cell else ("", "") for cell in cells]
        yield style.line(label, texts)
        label = ""


def _code(chart: Chart, cell: Cell, shown: Callable[[Cell], str]) -> str:
    if shown is not _pitch:
        return _DIM
    if chart.shows_degrees and cell.degree == "1":
        return _KEY_NOTE
    return _BOLD if cell.kind == "natural" else ""


def _lines_of(chart: Chart) -> list[Callable[[Cell], str]]:
    """What is written about a note, line by line."""
    lines: list[Callable[[Cell], str]] = [_pitch]
    lines += [_degree] if chart.shows_degrees else []
    return lines + ([_cents] if chart.shows_cents else [])


def _texts(chart: Chart, row: Row) -> Iterator[str]:
    yield str(chart.holes)
    yield from (shown(cell) for shown in _lines_of(chart) for cell in row.cells if cell)


def _pitch(cell: Cell) -> str:
    return cell.pitch + "o" * cell.note.over


def _degree(cell: Cell) -> str:
    return cell.degree


def _cents(cell: Cell) -> str:
    cents = round(cell.cents)
    return f"{cents:+d}" if cents else "0"


def _legend(chart: Chart, width: int) -> list[str]:
    present = chart.kinds | ({"button"} if any(row.button for row in chart.rows) else set())
    said = ["blow above the holes, draw below"]
    said += [words for kind, words in _LEGEND.items() if kind in present]
    return textwrap.wrap("; ".join(said), max(width, 20))


def chart_json(harp: Harp, position: int | None = None) -> dict[str, object]:
    """The chart as a JSON object; `cents` are from equal temperament at A4 = 440 Hz."""
    notes = [_note_json(harp, cell) for cell in cells_of(harp, position)]
    return {
        "schema": SCHEMA,
        "harp": harp.as_json(),
        "name": harp.name,
        "holes": harp.holes,
        "position": None if position is None else _position_json(harp, position),
        "notes": notes,
    }


def _position_json(harp: Harp, position: int) -> dict[str, object]:
    key = harp_key(position_key(harp, position))
    name, mode = position_name(position), mode_of(harp, position)
    return {"number": position, "name": name, "key": key, "mode": mode}


def _note_json(harp: Harp, cell: Cell) -> dict[str, object]:
    note = cell.note
    return {
        "tab": str(note),
        "hole": note.hole,
        "breath": note.breath.word,
        "bend": note.bend,
        "over": note.over,
        "button": note.button,
        "midi": cell.midi,
        "pitch": cell.pitch,
        "degree": cell.degree or None,
        "cents": round(harp.cents(note), 3),
        "hertz": round(harp.hertz(note), 3),
    }
