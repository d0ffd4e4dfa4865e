"""A tune file, line by line: header, licks, choruses, remarks and comments.

Grammar in `docs/tune-file.md`. Every fault of the file is collected with line and column; the
reading goes on after each, so that one run shows them all.
"""

from __future__ import annotations

import re
from dataclasses import replace

from reedwright.harp.pitch import shown
from reedwright.tune.cells import CellReader, parse_manner
from reedwright.tune.meter import Meter
from reedwright.tune.reading import Reading
from reedwright.tune.values import (
    Bar,
    Borrow,
    Chorus,
    Comment,
    Entry,
    Header,
    Lick,
    Manner,
    Remark,
    TuneText,
)

MAX_LINE = 4000
MAX_BAR = 99_999
MAX_TIMES = 999
MAX_NAME = 60

_LICK = re.compile(r"lick\s+([^()]*?)\s*(?:\((.*)\))?", re.IGNORECASE)
_CHORUS = re.compile(r"chorus(?:\s+[0-9]{1,4})?(?:\s*,\s*([0-9]{1,4})\s+times)?", re.IGNORECASE)
_HEADER = re.compile(r"([A-Za-z][A-Za-z0-9 -]*?)\s*:\s*(.*)")
_BORROW = re.compile(
    r"([0-9]{1,5})(?:\s*-\s*([0-9]{1,5}))?\s*:\s*as\s+([^,]+?)"
    r"(?:\s*,\s*bars?\s+([0-9]{1,5})(?:\s*-\s*([0-9]{1,5}))?)?",
    re.IGNORECASE,
)
_BAR = re.compile(r"([0-9]{1,5})\s*:\s*(.*)")
_ENTRY = re.compile(r"([0-9]{1,5})\s+([^,]+?)((?:\s*,.*)?)")
_NAME = re.compile(r"[^\W_][^,()|:{}#>]*")
_FROM = re.compile(r"from bar ([0-9]{1,5})(?: beat ([0-9]{1,2}))?")
_TO = re.compile(r"to bar ([0-9]{1,5})(?: beat ([0-9]{1,2}))?")
_ONLY = re.compile(r"bars? ([0-9]{1,5})(?: ?- ?([0-9]{1,5}))?")
_TIMES = re.compile(r"([0-9]{1,4}) (?:times|bars?)")


class TextReader:
    """One pass over the lines of a file. `meter` and `signed` come from its own header."""

    def __init__(self, reading: Reading, meter: Meter, signed: bool) -> None:
        self._reading = reading
        self._cells = CellReader(meter, signed, reading)
        self._head: list[Header | Remark | Comment] = []
        self._blocks: list[Lick | Chorus] = []
        self._lines: list[Bar | Borrow | Remark | Comment | Entry] = []

    def read(self, lines: list[str]) -> TuneText:
        for number, line in enumerate(lines, 1):
            if len(line) > MAX_LINE:
                self._wrong(
                    number,
                    1,
                    f"a line of {len(line)} characters",
                    f"A line has at most {MAX_LINE}",
                    "split it",
                )
            elif line.strip():
                self._line(number, line.rstrip())
        self._close()
        return TuneText(tuple(self._head), tuple(self._blocks))

    def _line(self, number: int, line: str) -> None:
        text = line.strip()
        column = line.index(text[0]) + 1
        if text[0] in ">#":
            item = Remark(text[1:].strip()) if text[0] == ">" else Comment(text[1:].strip())
            (self._lines if self._blocks else self._head).append(item)
        elif self._heading(number, column, text):
            return
        elif not self._blocks:
            self._header_line(number, column, line, text)
        elif isinstance(self._blocks[-1], Lick):
            self._lick_line(number, column, text)
        else:
            self._entry(number, column, text)

    def _heading(self, number: int, column: int, text: str) -> bool:
        chorus = _CHORUS.fullmatch(text)
        if chorus is not None:
            self._close()
            times = self._bounded(chorus[1], number, column, 1)
            self._blocks.append(Chorus((), times, number))
            return True
        lick = _LICK.fullmatch(text)
        if lick is None:
            return False
        self._close()
        name = self._name(lick[1], number, column + 5)
        at = column + (lick.start(2) if lick[2] is not None else 0)
        manner = Manner()
        if lick[2] is not None:
            manner = self._reading.attempt(lambda: parse_manner(lick[2]), number, at, manner)
        self._blocks.append(Lick(name, manner, (), number))
        return True

    def _close(self) -> None:
        if self._blocks:
            closed = replace(self._blocks[-1], lines=tuple(self._lines))  # type: ignore[arg-type]
            self._blocks[-1] = closed
        self._lines = []

    def _header_line(self, number: int, column: int, line: str, text: str) -> None:
        last = self._head[-1] if self._head else None
        if line[0].isspace() and isinstance(last, Header):
            self._head[-1] = replace(last, value=" ".join([*last.value.split(), *text.split()]))
            return
        match = _HEADER.fullmatch(text)
        if match is None:
            self._wrong(
                number,
                column,
                f"cannot read {shown(text)}",
                "Before the first lick, lines are `Key: value`",
                "write it like `Title: My tune`, or begin a lick with `Lick Name`",
            )
            return
        key = " ".join(match[1].split())
        self._head.append(Header(key, " ".join(match[2].split()), number, column + match.start(2)))

    def _lick_line(self, number: int, column: int, text: str) -> None:
        borrow = _BORROW.fullmatch(text)
        if borrow is not None:
            self._borrow(borrow, number, column)
            return
        bar = _BAR.fullmatch(text)
        if bar is None:
            self._wrong(
                number,
                column,
                f"cannot read {shown(text)}",
                "In a lick, lines are `bar: beat cells`, `> remark` or `# comment`",
                "write it like `1: 4d = 3d&2d .`",
            )
            return
        self._lines.append(self._cells.bar(int(bar[1]), bar[2], number, column + bar.start(2)))

    def _borrow(self, match: re.Match[str], number: int, column: int) -> None:
        first, last, lick, other_first, other_last = match.groups()
        borrow = Borrow(
            first=int(first),
            last=int(last or first),
            lick=self._name(lick, number, column + match.start(3)),
            other_first=int(other_first) if other_first else None,
            other_last=int(other_last or other_first) if other_first else None,
            line=number,
        )
        backwards = borrow.last < borrow.first
        if borrow.other_first is not None and borrow.other_last is not None:
            backwards = backwards or borrow.other_last < borrow.other_first
        if backwards:
            self._wrong(number, column, "bars that run backwards", "Write the lower bar first")
            return
        self._lines.append(borrow)

    def _entry(self, number: int, column: int, text: str) -> None:
        match = _ENTRY.fullmatch(text)
        if match is None:
            self._wrong(
                number,
                column,
                f"cannot read {shown(text)}",
                "In a chorus, lines are a bar and a lick",
                "write it like `1 Call` or `5 Answer, from bar 1`",
            )
            return
        rest = match[2].lower() == "rest"
        name = "" if rest else self._name(match[2], number, column + match.start(2))
        entry = Entry(bar=int(match[1]), lick=name, line=number)
        at = column + match.start(3)
        for clause in match[3].split(",")[1:]:
            entry = self._clause(entry, " ".join(clause.lower().split()), number, at)
            at += len(clause) + 1
        self._lines.append(entry)

    def _clause(self, entry: Entry, clause: str, number: int, column: int) -> Entry:
        if match := _TIMES.fullmatch(clause):
            return replace(entry, times=self._bounded(match[1], number, column, 1))
        if not entry.is_rest:
            if match := _FROM.fullmatch(clause):
                return replace(entry, from_bar=int(match[1]), from_beat=_int(match[2]))
            if match := _TO.fullmatch(clause):
                return replace(entry, to_bar=int(match[1]), to_beat=_int(match[2]))
            if match := _ONLY.fullmatch(clause):
                last = int(match[2] or match[1])
                return replace(entry, from_bar=int(match[1]), to_bar=last)
        self._wrong(
            number,
            column,
            f"cannot read {shown(clause)}",
            "After a lick come `from bar N`, `to bar N`, `bars N-M` (with `beat N` where "
            "needed) or `N times`; after a rest, `N bars`",
        )
        return entry

    def _name(self, name: str, number: int, column: int) -> str:
        plain = " ".join(name.split())
        if _NAME.fullmatch(plain) is None or len(plain) > MAX_NAME or plain.lower() == "rest":
            self._wrong(
                number,
                column,
                f"{shown(plain)} is not the name of a lick",
                f"A name begins with a letter or figure, has at most {MAX_NAME} characters "
                "and none of , ( ) | : { } # >; `rest` is taken",
            )
        return plain

    def _bounded(self, text: str | None, number: int, column: int, least: int) -> int:
        value = int(text) if text else 1
        if not least <= value <= MAX_TIMES:
            self._wrong(number, column, f"{value} times", f"Repeat 1 to {MAX_TIMES} times")
            return 1
        return value

    def _wrong(self, line: int, column: int, found: str, rule: str, mend: str = "") -> None:
        self._reading.add(line, column, found, rule, mend)


def _int(text: str | None) -> int | None:
    return int(text) if text else None
