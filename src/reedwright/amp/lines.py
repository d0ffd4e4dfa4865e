"""Where a key stands in the text of an amp file, for errors that name the line.

Conventions: lines and columns from 1; 0 where the key cannot be found again. tomllib has already
accepted the text, so a plain look for `[section]` and `key =` is enough; a key written
`section.key` is found too.
"""

from __future__ import annotations

import re

from reedwright.errors import Place, Problem

_HEADER = re.compile(r"\s*\[\s*[\"']?([\w-]+)[\"']?\s*\]")
_KEY = re.compile(r"\s*[\"']?([\w.-]+)[\"']?\s*=")
_AT = re.compile(r"\((?:at line (\d+), column (\d+)|at end of document)\)")

FORM = "An amp file is TOML: sections like [preamp], and `key = value` on each line"
MEND = "see docs/amp.md for an example"


def place_of(text: str, file: str, section: str, key: str) -> Place:
    """The place of a key of a section ("" for the head of the file), or of the section."""
    current, header = "", Place(file=file)
    for number, line in enumerate(_lines(text), 1):
        opened = _HEADER.match(line)
        if opened:
            current = opened[1]
            if current == section or (not section and current == key):
                header = Place(number, line.index("[") + 1, file)
        found = _KEY.match(line)
        if found and _meant(current, found[1], section, key):
            return Place(number, found.start(1) + 1, file)
    return header


def _meant(current: str, written: str, section: str, key: str) -> bool:
    full = f"{current}.{written}" if current else written
    wanted = f"{section}.{key}" if section else key
    return full == wanted or (full == section and not current)  # or an inline table in braces


def unread(message: str, text: str, file: str) -> Problem:
    """What tomllib says about a text it cannot read, with its place as ours."""
    at = _AT.search(message)
    lines = _lines(text)
    place = Place(len(lines), len(lines[-1]) + 1, file)
    if at and at[1]:
        place = Place(int(at[1]), int(at[2]), file)
    return Problem(_AT.sub("", message).strip() or "unreadable text", FORM, MEND, place)


def _lines(text: str) -> list[str]:
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
