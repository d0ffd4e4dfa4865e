"""A tune file, line by line: header, licks, choruses, remarks and comments.

Grammar in `docs/tune-file.md`. Every fault of the file is collected with line and column; the
reading goes on after each, so that one run shows them all. Remarks and comments belong to the
block they touch: those right above a heading, below an empty line, go with what it begins.
"""

from __future__ import annotations

import re
from dataclasses import replace

from reedwright.errors import InputError
from reedwright.harp.pitch import shown
from reedwright.tune.cells import CellReader, parse_manner
from reedwright.tune.entries import MAX_TIMES, read_borrow, read_entry, read_name
from reedwright.tune.header import KEYS_BY_SMALL, MAX_VALUE
from reedwright.tune.headervalues import parse_notation
from reedwright.tune.marks import NO_MANNER
from reedwright.tune.meter import Meter, parse_meter
from reedwright.tune.reading import Reading
from reedwright.tune.values import (
    Bar,
    Borrow,
    Chorus,
    Comment,
    Entry,
    Header,
    Lick,
    Remark,
    TuneText,
)

MAX_LINE = 4000
MAX_KEY = 40

# Possessive quantifiers (++, *+) keep a line of nothing but spaces from taking forever.
_LICK = re.compile(r"lick\s++([^()]*+)(?:\((.*)\)\s*+)?:?", re.IGNORECASE)
_CHORUS = re.compile(
    r"chorus(?:\s++([0-9]{1,9}))?\s*+(?:,\s*+(?:([0-9]{1,5})\s++times?|(twice))\s*+)?:?",
    re.IGNORECASE,
)
_BAR = re.compile(r"([0-9]{1,5})\s*+(?:[-–]\s*+([0-9]{1,5})\s*+)?:\s*+(.*)")
_HEADER_KEY = re.compile(r"[A-Za-z][A-Za-z0-9 -]*")


def heading_word(text: str) -> str:
    """`lick` or `chorus` when a line begins with that word, else nothing."""
    if text[:1] not in "lLcC":
        return ""
    word = text.split(None, 1)[0].rstrip(",:").lower()
    return word if word in ("lick", "chorus") else ""


class TextReader:
    """One pass over the lines of a file. `meter` and `signed` come from its own header."""

    def __init__(self, reading: Reading) -> None:
        self.signed = False
        self._reading = reading
        self._cells = CellReader(Meter(), False, reading)
        self._head: list[Header | Remark | Comment] = []
        self._indent = 0  # of the last header line
        self._blocks: list[Lick | Chorus] = []
        self._choruses = 0
        self._lines: list[Bar | Borrow | Remark | Comment | Entry] = []
        self._loose: list[Remark | Comment] = []  # below an empty line, above we do not know what
        self._after_empty = True

    def read(self, lines: list[str]) -> TuneText:
        for number, line in enumerate(lines, 1):
            text = line.strip()
            if not text:
                self._settle()
                self._after_empty = True
            elif len(line) > MAX_LINE:
                self._reading.add(
                    number,
                    MAX_LINE + 1,
                    f"a line of {len(line)} characters",
                    f"A line has at most {MAX_LINE}",
                    "split it",
                )
                if self._blocks:
                    self._put(None)
            else:
                self._line(number, line.index(text[0]) + 1, text)
        self._settle()
        self._close()
        return TuneText(tuple(self._head), tuple(self._blocks))

    def _settle(self) -> None:
        """What is loose belongs to the block so far."""
        if self._loose:
            (self._lines if self._blocks else self._head).extend(self._loose)
            self._loose = []
        self._after_empty = False

    def _line(self, number: int, column: int, text: str) -> None:
        if text[0] in ">#":
            item = Remark(text[1:].strip()) if text[0] == ">" else Comment(text[1:].strip())
            if self._after_empty:
                self._loose.append(item)
            else:
                (self._lines if self._blocks else self._head).append(item)
            return
        word = heading_word(text)
        if word:
            self._open(word, number, column, text)
            return
        self._settle()
        if not self._blocks:
            self._header_line(number, column, text)
        elif isinstance(self._blocks[-1], Lick):
            self._lick_line(number, column, text)
        else:
            self._put(read_entry(text, number, column, self._reading))

    def _put(self, line: Bar | Borrow | Entry | None) -> None:
        """Add a line to the block, or remember that the block lacks one."""
        if line is None:
            self._reading.torn.add(self._blocks[-1].line)
        else:
            self._lines.append(line)

    def _open(self, word: str, number: int, column: int, text: str) -> None:
        if not self._blocks:
            self._read_notation()
        self._close()
        self._lines += self._loose
        self._loose, self._after_empty = [], False
        make = self._lick if word == "lick" else self._chorus
        self._blocks.append(make(number, column, text))

    def _close(self) -> None:
        if self._blocks:
            closed = replace(self._blocks[-1], lines=tuple(self._lines))  # type: ignore[arg-type]
            self._blocks[-1] = closed
        self._lines = []

    def _lick(self, number: int, column: int, text: str) -> Lick:
        match = _LICK.fullmatch(text)
        if match is None:
            self._cannot(
                number, column, text, "A lick begins with its name", "write it like `Lick Call`"
            )
            return Lick("", NO_MANNER, (), number, column)
        name = match[1].strip() if match[2] is not None else match[1].strip().removesuffix(":")
        name = read_name(name, number, column + match.start(1), self._reading)
        manner = NO_MANNER
        if match[2] is not None:
            at = column + match.start(2)
            manner = self._reading.attempt(lambda: parse_manner(match[2]), number, at, manner)
        return Lick(name, manner, (), number, column)

    def _chorus(self, number: int, column: int, text: str) -> Chorus:
        match = _CHORUS.fullmatch(text)
        if match is None:
            self._cannot(
                number,
                column,
                text,
                "A chorus begins with the word alone, its number, or how many times it is played",
                "write `Chorus`, `Chorus 2` or `Chorus, 3 times`",
            )
            return Chorus((), 1, number, column)
        times = 2 if match[3] else int(match[2] or 1)
        if not 1 <= times <= MAX_TIMES:
            rule = f"A chorus is played 1 to {MAX_TIMES} times"
            self._cannot(number, column, text, rule, "write it like `Chorus, 3 times`")
            times = 1
        if match[1] and int(match[1]) != self._choruses + 1:
            self._reading.add(
                number,
                column + match.start(1),
                f"chorus {int(match[1])} where chorus {self._choruses + 1} begins",
                "Choruses are counted as they are played, each time through",
                f"write `Chorus {self._choruses + 1}`, or leave the number out",
            )
        self._choruses += times
        return Chorus((), times, number, column)

    def _read_notation(self) -> None:
        """Meter and notation, which bars need; wrong ones are reported with the header."""
        meter = Meter()
        given: dict[str, str] = {}
        for item in self._head:
            if isinstance(item, Header):
                given.setdefault(item.key.lower(), item.value)
        try:
            meter = parse_meter(given.get("meter", "") or "4/4")
            self.signed = parse_notation(given.get("tab", "") or "letters")
        except InputError:
            pass
        self._cells = CellReader(meter, self.signed, self._reading)

    def _header_line(self, number: int, column: int, text: str) -> None:
        last = self._head[-1] if self._head else None
        if column - 1 > self._indent and isinstance(last, Header):
            self._go_on(last, number, column, text)
            return
        name, colon, value = text.partition(":")
        key = " ".join(name.split())
        if not colon or _HEADER_KEY.fullmatch(key) is None or len(key) > MAX_KEY:
            self._cannot(
                number,
                column,
                text,
                "Before the first lick, lines are `Key: value`",
                "write it like `Title: My tune`, or begin a lick with `Lick Name`",
            )
            return
        self._indent = column - 1
        at = column + len(text) - len(value.lstrip())
        value = self._not_too_long(key, " ".join(value.split()), number, at)
        self._head.append(Header(key, value, number, at))

    def _go_on(self, last: Header, number: int, column: int, text: str) -> None:
        """A header value goes on in a line that is indented more than its key."""
        name = " ".join(text.partition(":")[0].split())
        if ":" in text and name.lower() in KEYS_BY_SMALL:
            self._reading.add(
                number,
                column,
                f"{name} stands further in than {last.key}, as if it were part of it",
                "A line that is indented goes on with the value above it",
                f"begin it as far left as {last.key}",
            )
            return
        if len(last.value) > MAX_VALUE:
            return
        value = " ".join([*filter(None, [last.value]), *text.split()])
        value = self._not_too_long(last.key, value, number, column)
        at = (last.line, last.column) if last.value else (number, column)
        self._head[-1] = Header(last.key, value, *at)

    def _not_too_long(self, key: str, value: str, line: int, column: int) -> str:
        if len(value) <= MAX_VALUE:
            return value
        self._reading.add(
            line,
            column,
            f"{key} has {len(value)} characters",
            f"A header has at most {MAX_VALUE}, all its lines together",
            "shorten it",
        )
        return value[: MAX_VALUE + 1]  # still too long, so that it is told once

    def _lick_line(self, number: int, column: int, text: str) -> None:
        match = _BAR.fullmatch(text)
        if match is None:
            self._cannot(
                number,
                column,
                text,
                "In a lick, lines are `bar: beat cells`, `> remark` or `# comment`",
                "write it like `1: 4d = 3d&2d .`",
            )
            self._put(None)
            return
        first, last, rest = match.groups()
        if last or rest[:2].lower() == "as":
            ends = (int(first), int(last or first))
            at = (number, column, column + match.start(3))
            self._put(read_borrow(ends, rest, at, self._reading))
            return
        at_cells = column + match.start(3)
        self._put(self._cells.bar(int(first), rest, number, at_cells, column))

    def _cannot(self, line: int, column: int, text: str, rule: str, mend: str) -> None:
        self._reading.add(line, column, f"cannot read {shown(text)}", rule, mend)
