"""The chart as a standalone SVG: on a page of its own, small at a sheet's foot, or in a browser.

Conventions: lengths in user units; the drawing scales to any width. Nothing rests on colour: blow
lies above the holes and draw below, a natural note is a square box, a bend a round one and an
overbend a box with cut corners and a broken line, the key note of the position is filled dark.
No `<style>` and no `id`, so that several charts can stand in one page; the background is opaque,
so that it reads the same on a light and a dark page. Contrast of all text: at least 7 : 1.
Design: our own.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from html import escape

from reedwright.harp.harp import Harp
from reedwright.harp.layout import Cell, Chart, Row, chart_of
from reedwright.harp.pitch import real_signs

INK, SOFT, PAPER = "#1b1b1f", "#46464f", "#ffffff"
TINTS = {"natural": "#ffffff", "bend": "#f1efe8", "overbend": "#ffffff"}

_MARGIN, _COLUMN, _GAP = 12, 54, 3
_TITLE, _NAME, _SMALL = 16, 18, 11.5  # text sizes
_LETTER, _TITLE_LETTER = 7.3, 10.5  # widths of a letter that wide fonts stay within, bold ones too
_ARROW, _REMARK, _FEWEST = 14, 16, 7  # arrow's width, a remark's height, columns at the least
_BOX, _LINE, _COMB = 27, 14, 30  # heights: a box with its name, a further line in it, the holes
_FONTS = "'DejaVu Sans', 'Noto Sans', 'Segoe UI', Helvetica, Arial, sans-serif"
_DIGITS = "-0123456789"
_SAMPLE = 26  # width of a box in the legend


def chart_svg(harp: Harp, position: int | None = None) -> str:
    """The chart of a harp, with degrees when a position is given; the same bytes every time."""
    chart = chart_of(harp, position)
    plan = _Plan(chart)
    size = f'width="{plan.width}" height="{plan.height}"'
    box = f'viewBox="0 0 {plan.width} {plan.height}"'
    looks = f'role="img" font-family="{_FONTS}" fill="{INK}"'
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {box} {size} {looks}>',
        f"<title>{escape(chart.title)}</title>",
        f"<desc>{escape(_description(chart))}</desc>",
        f'<rect {size} rx="8" fill="{PAPER}"/>',
        *_heading(chart, plan),
        *(part for row in chart.rows for part in _row(plan, row)),
        *_comb(chart, plan),
        *_legend(chart, plan),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


class _Plan:
    """Where everything goes."""

    def __init__(self, chart: Chart) -> None:
        self.chart = chart
        label = max(len(row.label) for row in chart.rows)
        self.label = _ARROW + _LETTER * label + 10
        holes = self.label + _COLUMN * max(chart.holes, _FEWEST)
        self.width = round(2 * _MARGIN + max(holes, _TITLE_LETTER * len(chart.title)))
        room = self.width - 2 * _MARGIN
        self.beside = " · ".join(chart.remarks)  # behind the title, when both fit in a line
        if _TITLE_LETTER * len(chart.title) + _LETTER * (len(self.beside) + 3) > room:
            self.beside = ""
        per_line = int(room / _LETTER)
        wrapped = [line for text in chart.remarks for line in textwrap.wrap(text, per_line)]
        self.remarks = [] if self.beside else wrapped
        self.box = _BOX + _LINE * (int(chart.shows_degrees) + int(chart.shows_cents))
        self.step = self.box + _GAP
        self.top = _MARGIN + 26 + _REMARK * len(self.remarks)
        self.comb = self.top + self.step * len(chart.above)
        self.under = self.comb + _COMB + _GAP
        self.foot = self.under + self.step * len(chart.below) + 6
        self.height = self.foot + 24 + _MARGIN // 2

    def x(self, hole: int) -> float:
        return _MARGIN + self.label + _COLUMN * (hole - 1)

    def y(self, row: Row) -> int:
        if row in self.chart.above:
            return self.top + self.step * self.chart.above.index(row)
        return self.under + self.step * self.chart.below.index(row)


def _heading(chart: Chart, plan: _Plan) -> Iterator[str]:
    line = _MARGIN + 14
    yield _text(_MARGIN, line, chart.title, size=_TITLE, weight="bold")
    if plan.beside:
        yield _text(plan.width - _MARGIN, line, plan.beside, anchor="end")
    for number, remark in enumerate(plan.remarks, 1):
        yield _text(_MARGIN, line + _REMARK * number + 1, remark)


def _row(plan: _Plan, row: Row) -> Iterator[str]:
    top = plan.y(row)
    weight = "bold" if row.depth == 0 else "normal"
    yield _text(_MARGIN + _ARROW, top + 18, row.label, weight=weight)
    if row.depth == 0:
        yield _arrow(_MARGIN + 4, top + 14, up=row in plan.chart.above)
    for hole, cell in enumerate(row.cells, 1):
        if cell is not None:
            yield "".join(_cell(plan, cell, plan.x(hole), top))


def _cell(plan: _Plan, cell: Cell, left: float, top: int) -> Iterator[str]:
    home = cell.degree == "1"
    ink = PAPER if home else INK
    x, y = left + _COLUMN / 2, top + 20
    yield f"<g><title>{escape(_words(cell))}</title>"
    yield _box(cell.kind, left + 2, top, _COLUMN - 4, plan.box, home)
    # Never bold: many bold faces lack the accidentals, and a renderer then swaps the whole word.
    name, octave = real_signs(cell.pitch.rstrip(_DIGITS)), cell.pitch.lstrip("ABCDEFG#b")
    octave = f'<tspan font-size="{_SMALL}">{octave}</tspan>'
    yield _text(x, y, name, octave, size=_NAME, anchor="middle", fill=ink)
    lines = [real_signs(cell.degree)] if plan.chart.shows_degrees else []
    lines += [_cents(cell.cents)] if plan.chart.shows_cents else []
    for number, line in enumerate(lines, 1):
        soft = PAPER if home else SOFT
        yield _text(x, y + 1 + _LINE * number, line, anchor="middle", fill=soft)
    yield "</g>"


def _box(kind: str, x: float, y: float, width: float, height: float, home: bool = False) -> str:
    """The shape of a note: square, round, or cut at the corners."""
    fill = INK if home else TINTS[kind]
    if kind == "overbend":
        cut, right, bottom = 7, x + width, y + height
        points = (
            f"M{x + cut:g} {y:g}H{right - cut:g}L{right:g} {y + cut:g}V{bottom - cut:g}"
            f"L{right - cut:g} {bottom:g}H{x + cut:g}L{x:g} {bottom - cut:g}V{y + cut:g}Z"
        )
        return (
            f'<path d="{points}" fill="{fill}" stroke="{INK}" stroke-width="1.2"'
            ' stroke-dasharray="4 2.5"/>'
        )
    rx, line = (0, 1.8) if kind == "natural" else (_BOX / 2 - 1, 1)
    return (
        f'<rect x="{x:g}" y="{y:g}" width="{width:g}" height="{height:g}" rx="{rx:g}"'
        f' fill="{fill}" stroke="{INK}" stroke-width="{line}"/>'
    )


def _comb(chart: Chart, plan: _Plan) -> Iterator[str]:
    """The row of holes, seen from the player's side: a dark body with an opening for each hole."""
    left, width = plan.x(1) - 6, _COLUMN * chart.holes + 12
    yield (
        f'<rect x="{left:g}" y="{plan.comb}" width="{width}" height="{_COMB}" rx="9" fill="{INK}"/>'
    )
    yield _text(_MARGIN + _ARROW, plan.comb + 19, "hole")
    for hole in range(1, chart.holes + 1):
        x = plan.x(hole)
        yield (
            f'<rect x="{x + 13:g}" y="{plan.comb + 4}" width="{_COLUMN - 26}" height="{_COMB - 8}"'
            f' rx="2" fill="{PAPER}"/>'
        )
        middle = x + _COLUMN / 2
        yield _text(middle, plan.comb + 20, str(hole), size=15, anchor="middle", weight="bold")


def _legend(chart: Chart, plan: _Plan) -> Iterator[str]:
    """Samples of the shapes in use."""
    kinds = (("natural", "natural"), ("bend", "bend"), ("overbend", "overbend"))
    entries = [(kind, name, False) for kind, name in kinds if kind in chart.kinds]
    entries += [("natural", "key note", True)] if chart.shows_degrees else []
    x = plan.x(1) + 2
    for kind, name, home in entries:
        yield _box(kind, x, plan.foot + 2, _SAMPLE, 14, home)
        yield _text(x + _SAMPLE + 6, plan.foot + 13, name)
        x += _SAMPLE + 6 + _LETTER * len(name) + 10


def _arrow(x: float, y: float, up: bool) -> str:
    """The way the air goes: out of the player (up) or in (down)."""
    tip = -7 if up else 7
    head = tip + (5 if up else -5)
    return (
        f'<path d="M{x:g} {y - tip:g}V{y + tip:g}M{x - 4:g} {y + head:g}L{x:g} {y + tip:g}'
        f'L{x + 4:g} {y + head:g}" fill="none" stroke="{INK}" stroke-width="1.6"/>'
    )


def _text(x: float, y: float, words: str, tail: str = "", **looks: str | float) -> str:
    """Words at a place; `looks`: size, anchor, fill, weight. `tail` is markup behind the words."""
    names = {"size": "font-size", "anchor": "text-anchor", "weight": "font-weight", "fill": "fill"}
    looks.setdefault("size", _SMALL)
    said = "".join(f' {names[key]}="{looks[key]}"' for key in names if key in looks)
    return f'<text x="{x:g}" y="{y:g}"{said}>{escape(words)}{tail}</text>'


def _cents(cents: float) -> str:
    whole = round(cents)
    return f"{whole:+d}".replace("-", "−") if whole else "0"


def _words(cell: Cell) -> str:
    """A note in words, for a tooltip and for reading aloud: `3 draw, bent 2 semitones: A4`."""
    note = cell.note
    how = f", bent {note.bend} semitone{'s' * (note.bend > 1)}" if note.bend else ""
    breath = f"over{note.breath.word}" if note.over else note.breath.word
    button = ", button pressed" if note.button else ""
    degree = f", degree {cell.degree}" if cell.degree else ""
    return f"{note.hole} {breath}{how}{button}: {cell.pitch}{degree}"


def _description(chart: Chart) -> str:
    """The chart in sentences, row by row."""
    remarks = [f"{remark}." for remark in chart.remarks]
    rows = (*reversed(chart.above), *chart.below)
    return " ".join([*remarks, *(_sentence(row) for row in rows)])


def _sentence(row: Row) -> str:
    names = [f"{cell.note.hole} {cell.pitch}" for cell in row.cells if cell is not None]
    label = row.label if row.depth == 0 else f"{row.breath.word} {row.label}"
    return f"{label.capitalize()}: {', '.join(names)}."
