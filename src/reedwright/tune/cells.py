"""One written bar, as text: beat cells with spaces between, directions in braces.

`. . .&2d {loud} 3d'&3d`: each cell is a counted beat, `&` splits it evenly, `=` holds, `.` rests.
A direction in braces changes cup or loudness from the next cell on: `{cup open, soft}`.
Columns count from 1 in characters of the whole line. Problems are collected, never raised.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from reedwright.errors import Problem, TuneError
from reedwright.harp.pitch import shown
from reedwright.tune.meter import Meter
from reedwright.tune.reading import Reading
from reedwright.tune.tokens import format_sound, parse_sound
from reedwright.tune.values import Bar, Cell, Cup, Hold, Loudness, Manner, Part, Rest, Sound

_CUPS = frozenset(Cup)
_LOUDNESS = frozenset(Loudness)
MAX_PARTS = 12
"""Equal parts of a beat: sixteenth triplets are 6, more than 12 cannot be counted."""

_PIECE = re.compile(r"\{[^}]*\}?|[^\s{]+")


@dataclass(frozen=True, slots=True)
class CellReader:
    """Reads the bars of one file: its meter, its notation, and where problems go."""

    meter: Meter
    signed: bool
    reading: Reading

    def bar(self, number: int, text: str, line: int, column: int) -> Bar:
        """A bar from the text after its number; `column` is where that text begins."""
        cells: list[Cell] = []
        manner = Manner()
        for match in _PIECE.finditer(text):
            at = column + match.start()
            if match[0].startswith("{"):
                manner = manner.then(self._direction(match[0], line, at))
            else:
                cells.append(Cell(self._parts(match[0], line, at), manner))
                manner = Manner()
        self._count(number, len(cells), line, column)
        if manner != Manner():
            self.reading.add(
                line,
                column,
                f"a direction after the last beat of bar {number}",
                "A direction stands before the beat where it begins",
                "move it to the start of the next bar",
            )
        return Bar(number, tuple(cells), line)

    def _count(self, number: int, found: int, line: int, column: int) -> None:
        beats = self.meter.beats
        if found != beats:
            self.reading.add(
                line,
                column,
                f"bar {number} has {found} beat cell{'s' * (found != 1)}",
                f"A bar of {self.meter} has {beats}, one for each counted beat",
                "hold with =, rest with ., split a beat with &",
            )

    def _parts(self, text: str, line: int, column: int) -> tuple[Part, ...]:
        pieces = text.split("&")
        if len(pieces) > MAX_PARTS:
            found = f"a beat split into {len(pieces)} parts"
            self.reading.add(line, column, found, f"A beat splits into at most {MAX_PARTS}")
            return (Rest(column),)
        parts: list[Part] = []
        for piece in pieces:
            parts.append(self._part(piece, line, column))
            column += len(piece) + 1
        return tuple(parts)

    def _part(self, piece: str, line: int, column: int) -> Part:
        if piece == "=":
            return Hold(column)
        if piece == ".":
            return Rest(column)
        instead: Part = Rest(column)
        return self.reading.attempt(
            lambda: parse_sound(piece, self.signed, column), line, column, instead
        )

    def _direction(self, text: str, line: int, column: int) -> Manner:
        if text.endswith("}"):
            return self.reading.attempt(lambda: parse_manner(text[1:-1]), line, column, Manner())
        found = f"cannot read {shown(text)}"
        self.reading.add(line, column, found, "A direction stands in a pair of braces", "add the }")
        return Manner()


def parse_manner(text: str) -> Manner:
    """Cup and loudness from `cup closed, loud`. Errors: TuneError."""
    manner = Manner()
    for item in text.split(","):
        words = " ".join(item.lower().split())
        if words in _LOUDNESS:
            manner = manner.then(Manner(loudness=Loudness(words)))
        elif words.startswith("cup ") and words[4:] in _CUPS:
            manner = manner.then(Manner(cup=Cup(words[4:])))
        else:
            raise TuneError(
                Problem(
                    found=f"cannot read {shown(item.strip())}",
                    rule="A manner is `cup open`, `cup closed` or `cup moving`, or one of "
                    + ", ".join(Loudness),
                    mend="write it like (cup closed, loud)",
                )
            )
    return manner


def format_manner(manner: Manner) -> str:
    """`cup closed, loud`; empty for no change."""
    words = [f"cup {manner.cup}"] if manner.cup else []
    return ", ".join(words + ([str(manner.loudness)] if manner.loudness else []))


def format_bar(bar: Bar, signed: bool = False) -> str:
    """The canonical text of a bar's cells, without its number."""
    pieces: list[str] = []
    for cell in bar.cells:
        if cell.manner != Manner():
            pieces.append("{" + format_manner(cell.manner) + "}")
        pieces.append("&".join(_format_part(part, signed) for part in cell.parts))
    return " ".join(pieces)


def _format_part(part: Part, signed: bool) -> str:
    if isinstance(part, Sound):
        return format_sound(part, signed)
    return "=" if isinstance(part, Hold) else "."
