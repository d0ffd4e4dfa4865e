"""What each part of a tune's text is, for an editor that shows it by weight and tone.

Conventions: lines and columns count from 1, in characters. Only the look of the text is told here,
line by line and whether or not it can be read; what is right and wrong the tune room says. Kinds:
`key`, `value`, `lick`, `chorus`, `name`, `manner`, `direction`, `number`, `note`, `hold`, `rest`,
`remark`, `comment`. Grammar: docs/tune-file.md.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Any

from reedwright.tune.text import heading_word

_HEADER = re.compile(r"(\s*)([A-Za-z][A-Za-z0-9 -]{0,39}):\s*(.*)")
_LICK = re.compile(r"(\s*)(lick)\s+([^(]*?)\s*(\(.*)?$", re.IGNORECASE)
_CHORUS = re.compile(r"(\s*)(chorus\b.*)", re.IGNORECASE)
_BAR = re.compile(r"(\s*)([0-9]{1,5}(?:\s*[-–]\s*[0-9]{1,5})?\s*:)(.*)")
_ENTRY = re.compile(r"(\s*)([0-9]{1,5})\s*:?\s*(.*)")
_PIECE = re.compile(r"\{[^}]*\}?|[^\s{&]+")

Spot = tuple[int, int, str]
"""Column, length, kind."""


def tokens(text: str) -> list[dict[str, Any]]:
    """Every part of the text that is shown otherwise than plain. Linear in the text."""
    found: list[dict[str, Any]] = []
    block = ""
    for number, line in enumerate(text.split("\n"), 1):
        plain = line.strip()
        block = (plain and heading_word(plain)) or block
        found += [
            {"line": number, "column": column, "length": length, "kind": kind}
            for column, length, kind in _of_line(line, block)
        ]
    return found


@lru_cache(maxsize=20_000)  # an edit changes one line, the others are known
def _of_line(line: str, block: str) -> tuple[Spot, ...]:
    plain = line.strip()
    if not plain:
        return ()
    indent = len(line) - len(line.lstrip())
    if plain[0] in ">#":
        return ((indent + 1, len(plain), "remark" if plain[0] == ">" else "comment"),)
    if heading_word(plain):
        return tuple(_heading(line))
    if not block:
        return tuple(_head(line))
    return tuple(_in_lick(line) if block == "lick" else _in_chorus(line))


def _spans(match: re.Match[str], kinds: dict[int, str]) -> Iterator[Spot]:
    for group, kind in kinds.items():
        if match[group]:
            yield match.start(group) + 1, len(match[group].rstrip()), kind


def _heading(line: str) -> Iterator[Spot]:
    lick, chorus = _LICK.match(line), _CHORUS.match(line)
    if lick:
        yield from _spans(lick, {2: "lick", 3: "name", 4: "manner"})
    elif chorus:
        yield from _spans(chorus, {2: "chorus"})


def _head(line: str) -> Iterator[Spot]:
    found = _HEADER.match(line)
    if found:
        yield from _spans(found, {2: "key", 3: "value"})


def _in_chorus(line: str) -> Iterator[Spot]:
    found = _ENTRY.match(line)
    if found:
        yield from _spans(found, {2: "number", 3: "name"})


def _in_lick(line: str) -> Iterator[Spot]:
    found = _BAR.match(line)
    if not found:
        return
    yield from _spans(found, {2: "number"})
    if found[3].lstrip()[:2].lower() == "as":
        yield from _spans(found, {3: "name"})
        return
    for piece in _PIECE.finditer(found[3]):
        kind = {"=": "hold", ".": "rest"}.get(piece[0], "note")
        kind = "direction" if piece[0][0] == "{" else kind
        yield found.start(3) + piece.start() + 1, len(piece[0]), kind
