"""The same music engraved again after an edit: only the lines that changed are drawn anew.

A `Redrawing` remembers the lines it has drawn. A line is the same when its bars are written the
same, and the bars on either side of it, which ties and octave lines lead to. Every head carries the
id of its event as `data-event`. Conventions: as `engrave`; the picture of a line is that of
`engrave` but for that attribute, whatever was drawn before.
"""

from __future__ import annotations

import hashlib
import re
from collections import OrderedDict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, TypeAlias

from lxml import etree

from reedwright.errors import SheetError
from reedwright.sheet.engrave import loaded
from reedwright.sheet.finish import Look, finish
from reedwright.sheet.fonts import TEXT_FONT
from reedwright.sheet.musicxml import musicxml
from reedwright.sheet.options import SheetOptions
from reedwright.sheet.prepare import Mark, Prepared, prepare
from reedwright.sheet.rhythm import notate
from reedwright.sheet.svg import SVG, read_bars
from reedwright.tune.place import Score

if TYPE_CHECKING:
    from verovio import toolkit

Element: TypeAlias = "etree._Element"

MOST_LINES = 400
"""Lines remembered: a picture has some 20 kB (measured)."""

_NOTE = re.compile(rb' id="n[0-9]+"')
_PLACE = re.compile(r'data-event="([0-9]+)"')


@dataclass(frozen=True, slots=True)
class Row:
    """One line: its bars as text, its first note's number, and what it is drawn from."""

    key: str
    first_note: int
    notes: int


class Redrawing:
    """Not shared between threads."""

    def __init__(self) -> None:
        self._known: OrderedDict[str, str] = OrderedDict()
        self.drawn = 0
        """Lines drawn anew so far."""

    def lines(self, score: Score, options: SheetOptions) -> tuple[str, ...]:
        """One standalone SVG per line of music. Errors: SheetError."""
        ready = prepare(musicxml(score, options))
        root = etree.fromstring(ready.musicxml.encode())
        measures = root.findall("part[1]/measure")
        rows = list(_rows(ready, measures))
        self._draw(ready, rows)
        events = _events(score, measures)
        return tuple(_with_events(self._known[row.key], row, events) for row in rows)

    def _draw(self, ready: Prepared, rows: list[Row]) -> None:
        wanted = [at for at, row in enumerate(rows) if row.key not in self._known]
        marks: dict[str, list[Mark]] = {}
        for mark in ready.marks:
            marks.setdefault(mark.note_id, []).append(mark)
        if wanted:
            with loaded(ready, 1.0) as engraver:
                pages = _pages(engraver, wanted, len(rows))
            for at, page in zip(wanted, pages, strict=True):
                line = ready.lines[at]
                look = Look(line.title, TEXT_FONT, ready.labels, line.number)
                self._known[rows[at].key] = _finished(page, rows[at], marks, look)
            self.drawn += len(wanted)
        for row in rows:
            self._known.move_to_end(row.key)
        while len(self._known) > max(MOST_LINES, len(rows)):
            self._known.popitem(last=False)


def _pages(engraver: toolkit, wanted: list[int], lines: int) -> list[str]:
    if engraver.getPageCount() != lines:
        raise SheetError("The engraver made another number of lines of music than was asked for.")
    return [engraver.renderToSVG(at + 1) for at in wanted]


def _finished(page: str, row: Row, marks: Mapping[str, list[Mark]], look: Look) -> str:
    """The picture of a line, its heads numbered within the line."""
    root = etree.fromstring(page)
    for group in root.iter(f"{SVG}g"):
        name = group.get("id", "")
        if name[:1] == "n" and name[1:].isdigit():
            group.set("data-event", str(int(name[1:]) - row.first_note))
    finish(root, read_bars(root), marks, look)
    return etree.tostring(root, encoding="unicode")


def _rows(ready: Prepared, measures: list[Element]) -> Iterator[Row]:
    """The lines, with keys by what is written in and beside them."""
    starts = [0, *(at for at, each in enumerate(measures) if each.find("print") is not None and at)]
    texts = [_NOTE.sub(b"", etree.tostring(measure)) for measure in measures]
    notes = [len(measure.findall("note")) for measure in measures]
    attributes = measures[0].find("attributes")
    head = b"" if attributes is None else etree.tostring(attributes)
    for at, (start, end) in enumerate(pairwise([*starts, len(measures)])):
        last = end == len(measures)
        said = (
            *(head, *texts[start:end], b"|", *texts[max(start - 1, 0) : start], b"|"),
            *texts[end : end + 1],
            repr((ready.lines[at], last and ready.last_line_full, last, ready.labels)).encode(),
            repr(_marks_of(ready, sum(notes[:start]), sum(notes[:end]))).encode(),
        )
        key = hashlib.sha256(b"\n".join(said)).hexdigest()
        yield Row(key, sum(notes[:start]), sum(notes[start:end]))


def _marks_of(ready: Prepared, first: int, end: int) -> list[tuple[int, str, str]]:
    found = []
    for mark in ready.marks:
        number = int(mark.note_id[1:])
        if first <= number < end:
            found.append((number - first, mark.kind, mark.text))
    return found


def _events(score: Score, measures: list[Element]) -> list[str]:
    """The id of the event each written note belongs to; empty for a rest."""
    found: list[str] = []
    for bar, measure in zip(notate(score).bars, measures, strict=True):
        pieces = iter(bar.pieces)
        event = ""
        for note in measure.findall("note"):
            if note.find("chord") is None:
                piece = next(pieces)
                event = "" if piece.rest else score.events[bar.events[piece.span]].id
            found.append(event)
    return found


def _with_events(picture: str, row: Row, events: list[str]) -> str:
    def named(found: re.Match[str]) -> str:
        return f'data-event="{events[row.first_note + int(found[1])]}"'

    return _PLACE.sub(named, picture)
