"""One written bar, as text: beat cells with spaces between, directions in braces.

`. . .&2d {loud} 3d'&3d`: each cell is a counted beat, `&` splits it evenly, `=` holds, `.` rests.
A direction in braces changes cup or loudness from the next cell on: `{cup open, soft}`.
Columns count from 1 in characters of the whole line. Problems are collected, never raised.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from reedwright.errors import Problem, TokenError, TuneError
from reedwright.harp.note import Breath, TabNote
from reedwright.harp.pitch import shown
from reedwright.tune.marks import NO_MANNER
from reedwright.tune.meter import Meter
from reedwright.tune.reading import Reading
from reedwright.tune.tokens import format_sound, parse_sound
from reedwright.tune.values import (
    MAX_PARTS,
    Bar,
    Cell,
    Cup,
    Hold,
    Loudness,
    Manner,
    Part,
    Rest,
    Sound,
)

_CUPS = frozenset(Cup)
_LOUDNESS = frozenset(Loudness)
_UNREAD = Sound((TabNote(1, Breath.BLOW),))
"""Stands for what cannot be read, which is a fault already; as a sound, since a hold may follow."""

_PIECE = re.compile(r"\{[^}]*\}?|[^\s{]+")


@dataclass(frozen=True, slots=True)
class CellReader:
    """Reads the bars of one file: its meter, its notation, and where problems go."""

    meter: Meter
    signed: bool
    reading: Reading

    def bar(self, number: int, text: str, line: int, column: int, bar_column: int = 1) -> Bar:
        """A bar from the text after its number; `column` is where that text begins."""
        cells: list[Cell] = []
        columns: list[int] = []
        manner = NO_MANNER
        at, closed = column, True
        for match in _PIECE.finditer(text):
            piece, at = match[0], column + match.start()
            if piece[0] == "{":
                closed = piece[-1] == "}"
                manner = manner.then(self._direction(piece, line, at))
                continue
            where = (line, at, number, len(cells) + 1)
            cells.append(Cell(self._parts(piece, where), manner))
            columns.append(at)
            manner = NO_MANNER
        if len(cells) != self.meter.beats and closed:  # an open brace has swallowed the others
            self._count(number, columns, line, column + len(text.rstrip()))
        if manner != NO_MANNER:
            self.reading.add(
                line,
                at,
                f"a direction after the last beat of bar {number}",
                "A direction stands before the beat where it begins",
                "move it to the start of the next bar",
            )
        return Bar(number, tuple(cells), line, bar_column)

    def _count(self, number: int, columns: list[int], line: int, end: int) -> None:
        """Note a wrong number of cells: at the first one too many, or where one is missing."""
        beats, found = self.meter.beats, len(columns)
        self.reading.add(
            line,
            columns[beats] if found > beats else end,
            f"bar {number} has {found} beat cell{'s' * (found != 1)}",
            f"A bar of {self.meter} has {beats}, one for each counted beat",
            "join what belongs to one beat with &"
            if found > beats
            else "hold with =, rest with ., or write the beats that are missing",
        )

    def _parts(self, text: str, where: tuple[int, int, int, int]) -> tuple[Part, ...]:
        line, column, number, beat = where
        pieces = text.split("&")
        if len(pieces) > MAX_PARTS:
            self.reading.add(
                line,
                column,
                f"bar {number} beat {beat}: a beat split into {len(pieces)} parts",
                f"A beat splits into at most {MAX_PARTS}",
                "write it over several beats",
            )
            return (_UNREAD,)
        parts: list[Part] = []
        for piece in pieces:
            parts.append(self._part(piece, column, where))
            column += len(piece) + 1
        return tuple(parts)

    def _part(self, piece: str, column: int, where: tuple[int, int, int, int]) -> Part:
        if piece == "=":
            return Hold(column)
        if piece == ".":
            return Rest(column)
        line, _, number, beat = where
        if not piece:
            self.reading.add(
                line,
                column,
                f"bar {number} beat {beat}: nothing on one side of &",
                "Every part of a split beat is a note, = or .",
                "write . for a rest or = for a hold",
            )
            return _UNREAD
        try:
            return parse_sound(piece, self.signed, column)
        except TokenError as error:
            self.reading.keep(error, line, column, f"bar {number} beat {beat}: ")
            return _UNREAD

    def _direction(self, text: str, line: int, column: int) -> Manner:
        if text.endswith("}"):
            return self.reading.attempt(
                lambda: parse_manner(text[1:-1]), line, column + 1, NO_MANNER
            )
        found = f"cannot read {shown(text)}"
        self.reading.add(line, column, found, "A direction stands in a pair of braces", "add the }")
        return NO_MANNER


def parse_manner(text: str) -> Manner:
    """Cup and loudness from `cup closed, loud`. Errors: TuneError."""
    manner = NO_MANNER
    for item in text.split(","):
        one = _manner_word(item)
        if (one.cup and manner.cup) or (one.loudness and manner.loudness):
            what = "cup" if one.cup else "loudness"
            raise TuneError(
                Problem(
                    f"two words for the {what} in {shown(text)}",
                    "Cup and loudness are each given once",
                    "keep one of the two",
                )
            )
        manner = manner.then(one)
    return manner


def _manner_word(item: str) -> Manner:
    words = " ".join(item.lower().split())
    if words in _LOUDNESS:
        return Manner(loudness=Loudness(words))
    if words.startswith("cup ") and words[4:] in _CUPS:
        return Manner(cup=Cup(words[4:]))
    raise TuneError(
        Problem(
            found=f"cannot read {shown(item.strip())}",
            rule="A manner is `cup open`, `cup closed` or `cup moving`, or one of "
            + ", ".join(Loudness),
            mend="write it like (cup closed, loud)",
        )
    )


def format_manner(manner: Manner) -> str:
    """`cup closed, loud`; empty for no change."""
    words = [f"cup {manner.cup}"] if manner.cup else []
    return ", ".join(words + ([str(manner.loudness)] if manner.loudness else []))


def format_bar(bar: Bar, signed: bool = False) -> str:
    """The canonical text of a bar's cells, without its number."""
    pieces: list[str] = []
    for cell in bar.cells:
        if cell.manner != NO_MANNER:
            pieces.append("{" + format_manner(cell.manner) + "}")
        pieces.append("&".join(_format_part(part, signed) for part in cell.parts))
    return " ".join(pieces)


def _format_part(part: Part, signed: bool) -> str:
    if isinstance(part, Sound):
        return format_sound(part, signed)
    return "=" if isinstance(part, Hold) else "."
