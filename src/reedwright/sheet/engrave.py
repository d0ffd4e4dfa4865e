"""MusicXML in, engraved music out: line by line, as pictures or parted into picture and lettering.

Route: `prepare` (lines, labels, ids) → verovio → `finish` (type, tab, marks). Conventions: a line
of music fills the width of the type area, `TEXT_WIDTH_MM`; `scale` 1 gives a staff 6 mm high.
The same score gives the same bytes in every process. verovio's toolkit is shared and locked.
"""

from __future__ import annotations

import threading
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from typing import TYPE_CHECKING, Any, TypeAlias

from lxml import etree

from reedwright.errors import SheetError
from reedwright.sheet.finish import Look, finish
from reedwright.sheet.fonts import TEXT_FONT
from reedwright.sheet.lettering import part_tree
from reedwright.sheet.parted import Parted
from reedwright.sheet.prepare import SIGNS_PER_LINE, Mark, Prepared, prepare
from reedwright.sheet.svg import TEXT_WIDTH_MM, read_bars

if TYPE_CHECKING:
    from verovio import toolkit

Element: TypeAlias = "etree._Element"

STAFF_HEIGHT_MM = 6.0  # in the usual range of printed parts, from memory
_STAFF_HEIGHT_PX = 72  # verovio: four spaces of two units of 9 px
_SCALES = (0.5, 4.0)

_OPTIONS: dict[str, Any] = {
    "inputFrom": "xml",
    "breaks": "encoded",
    "header": "none",
    "footer": "none",
    "adjustPageHeight": True,
    "pageHeight": 60000,  # as high as verovio lets a page be; cut to the content
    "pageMarginLeft": 0,
    "pageMarginRight": 4,
    "pageMarginTop": 4,
    "pageMarginBottom": 4,
    "svgViewBox": True,
    "svgFormatRaw": True,
    "svgAdditionalAttribute": ["verse@n"],
    "lyricVerseCollapse": True,
    "lyricSize": 5.0,
    # Flatter than verovio's own 0.25 and 0.6: quick notes get more room, since the tab under them
    # is as wide as that under slow ones. Found by measuring the gaps of a dense line of eighths.
    "spacingLinear": 0.6,
    "spacingNonLinear": 0.45,
    "lyricTopMinMargin": 3.0,
    # A little thicker than verovio's own 0.15 and 0.2, which fade on screens and cheap printers.
    "staffLineWidth": 0.2,
    "stemWidth": 0.24,
    "octaveAlternativeSymbols": True,  # 8va, which more readers know than a bare 8
    "spacingSystem": 0,
    "breaksNoWidow": False,
}
_SEEDS = 2**31 - 2  # what a 32-bit int holds, less 0
_lock = threading.Lock()


def engrave(
    musicxml: str, *, scale: float = 1.0, bars_per_line: int | None = None
) -> tuple[str, ...]:
    """One standalone SVG per line of music.

    Args:
        musicxml: a partwise score; its `<print new-system="yes"/>` break the lines.
        scale: size of the staff, 0.5 to 4; 1 is 6 mm, large print is about 1.6.
        bars_per_line: breaks lines anew, a pickup joined to the first line.

    Raises:
        SheetError: the text is no score, or it cannot be engraved.
    """
    roots = _finished(musicxml, scale, bars_per_line)
    return tuple(etree.tostring(root, encoding="unicode") for root in roots)


def engrave_parted(
    musicxml: str, *, scale: float = 1.0, bars_per_line: int | None = None
) -> tuple[Parted, ...]:
    """The lines of music as `engrave` makes them, parted into picture and lettering for a sheet."""
    return tuple(part_tree(root) for root in _finished(musicxml, scale, bars_per_line))


def _finished(musicxml: str, scale: float, bars_per_line: int | None) -> list[Element]:
    ready = prepare(musicxml, bars_per_line=bars_per_line, room=SIGNS_PER_LINE / max(scale, 0.1))
    marks: dict[str, list[Mark]] = {}
    for mark in ready.marks:
        marks.setdefault(mark.note_id, []).append(mark)
    pictures = _engraved(ready, scale)
    if len(pictures) != len(ready.lines):
        raise SheetError(
            f"The engraver made {len(pictures)} lines of music where {len(ready.lines)} were "
            "asked for."
        )
    roots = [etree.fromstring(picture) for picture in pictures]
    for root, line in zip(roots, ready.lines, strict=True):
        look = Look(line.title, TEXT_FONT, ready.labels, line.number)
        finish(root, read_bars(root), marks, look)
    return roots


def _engraved(ready: Prepared, scale: float) -> list[str]:
    """verovio's own pictures, one per line of music."""
    with loaded(ready, scale) as engraver:
        return [engraver.renderToSVG(page + 1) for page in range(engraver.getPageCount())]


@contextmanager
def loaded(ready: Prepared, scale: float) -> Iterator[toolkit]:
    """verovio with a score laid out in it, held until the end. Errors: SheetError."""
    low, high = _SCALES
    if not low <= scale <= high:
        raise SheetError(f"The scale of the staff is {scale}; it lies between {low} and {high}.")
    options = _OPTIONS | {
        "pageWidth": round(TEXT_WIDTH_MM / STAFF_HEIGHT_MM * _STAFF_HEIGHT_PX / scale),
        "smuflTextFont": "none",
        "minLastJustification": 0.0 if ready.last_line_full else 1.0,
    }
    with _lock:
        engraver = _toolkit()
        # Before every score, or ids would differ from run to run; never 0, which means "random".
        engraver.resetXmlIdSeed(zlib.crc32(ready.musicxml.encode()) % _SEEDS + 1)
        engraver.setOptions(options)
        if not engraver.loadData(ready.musicxml):
            raise SheetError("The engraver cannot read the score.")
        yield engraver


@cache
def _toolkit() -> toolkit:
    import verovio

    verovio.enableLog(verovio.LOG_OFF)  # it would write to the terminal by itself
    return verovio.toolkit()
