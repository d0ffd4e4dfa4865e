"""A teacher's cuts as text, `NAME.cuts` beside `NAME.reed`.

Grammar, line by line (capitals and spaces between words do not matter; empty lines may stand
anywhere and are not kept):

    cut before ID
    no cut before ID
    # a note to oneself

Reading finds every fault of a file in one go and says what, where, the rule and the mend.
`read_cuts` of `write_cuts` is the identity.
"""

from __future__ import annotations

import re

from reedwright.errors import LessonError
from reedwright.harp.pitch import shown
from reedwright.lesson.cuts import ID, Cut, Cuts
from reedwright.tune.reading import EnoughError, Reading
from reedwright.tune.values import Comment

MAX_CHARS = 4_000_000
"""As much as a tune may have: a line for every note of one."""

_LINE = re.compile(r"(?P<no>no\s+)?cut\s+before\s+(?P<id>\S+)", re.IGNORECASE)
_RULE = "A line says `cut before` or `no cut before` and names a note by its id"
_LIKE = "write it like `cut before call:2.1.1@1.2`"
_ID_RULE = "A note is named by its id: lick, bar, beat and part, chorus and bar"


def read_cuts(text: str, file: str = "") -> Cuts:
    """The cuts in a text. Errors: LessonError with every fault, its line and column."""
    reading = Reading(file)
    if len(text) > MAX_CHARS:
        reading.add(0, 0, f"{len(text):,} characters", f"At most {MAX_CHARS:,} are read")
        raise LessonError(reading.error_problems())
    lines: list[Cut | Comment] = []
    said: dict[str, int] = {}
    try:
        for number, line in enumerate(_split(text), 1):
            found = _read_line(line, number, said, reading) if line.strip() else None
            lines += [found] if found else []
    except EnoughError:
        pass  # what was found is told; the rest of such a file helps nobody
    if reading.problems:
        raise LessonError(reading.error_problems())
    return Cuts(tuple(lines))


def write_cuts(cuts: Cuts) -> str:
    """The text of a file; empty for nothing to say."""
    return "".join(f"{_written(line)}\n" for line in cuts.lines)


def _written(line: Cut | Comment) -> str:
    if isinstance(line, Cut):
        return str(line)
    return f"# {line.text}".replace("\n", " ").replace("\r", " ").rstrip()


def _split(text: str) -> list[str]:
    """Lines as editors count them."""
    return text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")


def _read_line(
    line: str, number: int, said: dict[str, int], reading: Reading
) -> Cut | Comment | None:
    words = line.strip()
    column = len(line) - len(line.lstrip()) + 1
    if words.startswith("#"):
        return Comment(words[1:].strip())
    match = _LINE.fullmatch(words)
    if match is None:
        reading.add(number, column, shown(words), _RULE, _LIKE)
        return None
    column += match.start("id")
    name = match["id"]
    if ID.fullmatch(name) is None:
        reading.add(number, column, f"{shown(name)} names no note", _ID_RULE, _LIKE)
    elif name in said:
        found = f"{shown(name)} is named in line {said[name]} already"
        reading.add(number, column, found, "A note is named once", "keep one of the two lines")
    else:
        said[name] = number
        return Cut(name, here=match["no"] is None, line=number)
    return None
