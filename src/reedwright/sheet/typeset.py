"""A sheet set in type: `SheetDocument` in, PDF bytes or raw SVG pages out, through typst.

Conventions: the template is `data/sheet.typ`; all content goes to it as JSON data, never as
markup. typst sees an empty private folder, its own fonts and the music font, and no date: the
same document gives the same bytes in every process. The compiler is shared and locked.
"""

from __future__ import annotations

import json
import re
import threading
from collections.abc import Sequence
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Literal

from reedwright.errors import SheetError
from reedwright.sheet.document import ChartRow, SheetDocument
from reedwright.sheet.fonts import font_folder
from reedwright.sheet.glyphs import printable, text_width
from reedwright.sheet.parted import Parted
from reedwright.sheet.scratch import scratch_folder

if TYPE_CHECKING:
    from typst import Compiler

LARGE_SCALE = (
    1.6  # of the staff in large print: 9.6 mm, by eye beside the 16-point text of large print
)
LARGE_BARS_PER_LINE = 2
_DEGREE_GAP, _DEGREE_SIZE = 0.28, 0.72  # of a degree beside its note, in ems, as in the template
_LONGEST_WORD = 24  # characters; a longer one may break anywhere, or it would leave the page
_TITLE_IN_FOOT = 60
_BLANKS = re.compile(r"[^\S\u00a0]+")  # a no-break blank stays: it ties a sign to its word
_PARAGRAPHS = re.compile(r"\n\s*\n")
_lock = threading.Lock()


def typeset(document: SheetDocument) -> bytes:
    """The sheet as a PDF file.

    Raises:
        SheetError: typst refuses; the message holds its reason.
    """
    return b"".join(_compiled(document, "pdf"))


def typeset_pages(document: SheetDocument) -> list[bytes]:
    """The sheet as typst's own SVG, one a page; for `pages`, which makes them fit to be read."""
    return _compiled(document, "svg")


def _compiled(document: SheetDocument, kind: Literal["pdf", "svg"]) -> list[bytes]:
    import typst

    # A stub of typst's does not know that the input may be several files, its manual does.
    sheet: Any = {"main.typ": _template(), "sheet.json": json.dumps(_data(document)).encode()}
    with _lock:
        try:
            made = _compiler().compile(input=sheet, format=kind)
        except typst.TypstError as error:
            raise SheetError(f"The sheet could not be set in type: {error}") from error
    if made is None:
        raise SheetError("The sheet could not be set in type: typst gave nothing.")
    return made if isinstance(made, list) else [made]


def _data(document: SheetDocument) -> dict[str, Any]:
    title, byline = _line(document.title), _line(document.byline)
    cautions = [_line(caution) for caution in document.cautions]
    return {
        "title": title,
        "running_title": title if len(title) <= _TITLE_IN_FOOT else title[:_TITLE_IN_FOOT] + "…",
        "byline": byline,
        "facts": [_fact(_line(name), _line(value)) for name, value in document.facts],
        "form": [_form_bar(bar) for bar in document.form],
        "form_title": _line(document.form_title),
        "systems": [_system(line) for line in document.systems],
        "remarks": [
            _remark(_line(remark.name), _paragraphs(remark.text)) for remark in document.remarks
        ],
        "remarks_title": _line(document.remarks_title),
        "chart": [_chart_row(row) for row in document.chart],
        "chart_title": _line(document.chart_title),
        "chart_note": _line(document.chart_note),
        "cautions": cautions,
        "extents": {
            "title": _extent(title, bold=True),
            "byline": _extent(byline),
            "cautions": _extent(" ".join(cautions)),
        },
        "paper": document.paper,
        "large": document.large,
    }


def _line(text: str) -> str:
    """The text on one line, printable, and with places to break in words too long for a line."""
    words = printable(_BLANKS.sub(" ", text).strip()).split(" ")
    return " ".join(word if len(word) <= _LONGEST_WORD else _breakable(word) for word in words)


def _breakable(word: str) -> str:
    pieces = (word[at : at + 8] for at in range(0, len(word), 8))
    return "\u200b".join(pieces)  # zero-width space: a place to break, nothing to see


def _paragraphs(text: str) -> list[str]:
    return [_line(part) for part in _PARAGRAPHS.split(text.replace("\r\n", "\n")) if part.strip()]


def _extent(text: str, *, bold: bool = False) -> tuple[float, float]:
    """How wide a text and its widest word are, in ems, to foresee how many lines it takes."""
    words = re.split("[ \u200b]", text)
    return text_width(text, 1, bold=bold), max(text_width(word, 1, bold=bold) for word in words)


def _fact(name: str, value: str) -> tuple[str, str, float, tuple[float, float]]:
    return name, value, text_width(name, 1), _extent(value)


def _remark(name: str, parts: list[str]) -> dict[str, Any]:
    """What is said about a lick, and the extents of its name and of each paragraph."""
    extents = [_extent(name, bold=True), *map(_extent, parts)]
    return {"name": name, "text": parts, "extents": extents}


def _form_bar(chords: Sequence[str]) -> dict[str, Any]:
    """The chords of a bar, and how wide they are, in ems."""
    names = [_line(chord) for chord in chords]
    return {"chords": names, "widths": [text_width(name, 1, bold=True) for name in names]}


def _chart_row(row: ChartRow) -> dict[str, Any]:
    """A row, and how wide its label and its widest cell are, in ems."""
    degrees = row.degrees or ("",) * len(row.cells)
    return {
        "label": _line(row.label),
        "label_width": text_width(row.label, 1),
        "cells": [_line(cell) for cell in row.cells],
        "degrees": [_line(degree) for degree in row.degrees],
        "kind": row.kind,
        "widest": max(map(_cell_width, row.cells, degrees), default=0.0),
    }


def _cell_width(cell: str, degree: str) -> float:
    own = text_width(cell, 1, bold=True)
    return own + _DEGREE_GAP + text_width(degree, _DEGREE_SIZE) if degree else own


def _system(line: Parted) -> dict[str, Any]:
    return {
        "svg": line.picture,
        "alt": line.title,
        "height": round(line.height_mm, 4),
        "pieces": [
            {
                "x": round(piece.x_mm, 4),
                "y": round(piece.y_mm, 4),
                "centred": piece.centred,
                "runs": [
                    [run.text, round(run.size_mm, 4), run.bold, run.italic, run.fill, run.font]
                    for run in piece.runs
                ],
            }
            for piece in line.pieces
        ],
    }


@cache
def _template() -> bytes:
    return (files(__package__) / "data" / "sheet.typ").read_bytes()


@cache
def _compiler() -> Compiler:
    import typst

    root = str(scratch_folder("sheet"))
    fonts = typst.Fonts(include_system_fonts=False, font_paths=[str(font_folder())])
    return typst.Compiler(root=root, font_paths=fonts, package_path=root, package_cache_path=root)
