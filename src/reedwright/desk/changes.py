"""Changes of a text as a browser counts them: offsets are UTF-16 units of the text before.

Several changes of one edit are applied in order, each to the text the one before left. Source:
ECMAScript strings, which the text field's own offsets are in.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from reedwright.desk.faults import WRONG, refused
from reedwright.tune.load import MAX_BYTES

MOST_CHANGES = 10_000
_LONE = re.compile("[\ud800-\udfff]")


@dataclass(frozen=True, slots=True)
class Change:
    """Units `start` to `end` give way to `insert`."""

    start: int
    end: int
    insert: str


def changed(text: str, changes: tuple[Change, ...]) -> str:
    """The text after all changes. Errors: DeskError for places the text does not have."""
    for change in changes:
        text = _one(text, change)
        if len(text) > MAX_BYTES:
            raise _too_long()
    return whole(text)


def _one(text: str, change: Change) -> str:
    if text.isascii():
        length = len(text)
        if 0 <= change.start <= change.end <= length:
            return text[: change.start] + change.insert + text[change.end :]
        raise _outside(change, length)
    units = text.encode("utf-16-le", "surrogatepass")
    length = len(units) // 2
    if not 0 <= change.start <= change.end <= length:
        raise _outside(change, length)
    before, after = units[: 2 * change.start], units[2 * change.end :]
    insert = change.insert.encode("utf-16-le", "surrogatepass")
    return (before + insert + after).decode("utf-16-le", "surrogatepass")


def whole(text: str) -> str:
    """A text that a file can hold, its lines ended one way. Errors: DeskError."""
    if _LONE.search(text):
        raise refused(
            WRONG,
            "half of a sign that takes two units",
            "A text holds whole signs",
            "send the whole text",
        )
    if len(text) > MAX_BYTES or len(text.encode("utf-8")) > MAX_BYTES:
        raise _too_long()
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _outside(change: Change, length: int) -> Exception:
    found = f"a change from {change.start} to {change.end} of a text of {length}"
    return refused(WRONG, found, "A change lies within the text", "send the whole text")


def _too_long() -> Exception:
    rule = f"A tune has at most {MAX_BYTES:,} bytes"
    return refused(WRONG, "a longer text than a tune can be", rule, "split the tune")
