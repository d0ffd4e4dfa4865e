"""A line of a tune file as it is quoted beneath a fault, and where a sign under it stands.

Conventions: columns count from 1 in characters, 0 for none. Cells are the columns of a terminal: a
character takes none, one or two of them (Unicode East Asian Width, combining marks). What a
terminal could take for a command is quoted as a space.
"""

from __future__ import annotations

import unicodedata
from typing import NamedTuple


class Quote(NamedTuple):
    """So much of a line as fits; `at`: which of its characters is meant; `cells` lie before it."""

    text: str
    at: int
    cells: int


def quoted(line: str, column: int, width: int) -> Quote:
    """At most `width` characters of a line, round a column of it; one past its end is its end.

    >>> quoted("1: 4d 9z . .", 7, 80)
    Quote(text='1: 4d 9z . .', at=6, cells=6)
    """
    text = "".join(sign if sign.isprintable() else " " for sign in line)
    at = min(max(column - 1, 0), len(text))
    start = max(0, at - width // 2) if len(text) > width else 0
    cells = sum(_cells(sign) for sign in text[start:at])
    return Quote(text[start : start + width], at - start, cells)


def _cells(sign: str) -> int:
    if unicodedata.combining(sign):
        return 0
    return 2 if unicodedata.east_asian_width(sign) in "WF" else 1
