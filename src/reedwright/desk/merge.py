"""Two texts that grew from one: joined line by line where they touch different places.

Conventions: texts are lists of lines; both changed the same line, or lines side by side, is a
conflict and gives None: what belongs together in a bar must not be mixed. The same change made
twice is made once. Pure. Source of the method: three-way merge, common knowledge.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher

MAX_LINES = 20_000
"""Longer texts are not joined but shown side by side: comparing takes time (from memory)."""


@dataclass(frozen=True, slots=True)
class Hunk:
    """Lines `start` to `end` of the base become `lines`."""

    start: int
    end: int
    lines: tuple[str, ...]

    def touches(self, other: Hunk) -> bool:
        """Whether the two change the same lines or lines side by side."""
        return self.start <= other.end and other.start <= self.end


def merged(base: str, mine: str, theirs: str) -> str | None:
    """Both changes in one text; None where they meet."""
    if mine in (base, theirs):
        return theirs
    if theirs == base:
        return mine
    texts = [text.split("\n") for text in (base, mine, theirs)]
    if max(map(len, texts)) > MAX_LINES:
        return None
    before, first, second = texts
    ours, others = list(_hunks(before, first)), list(_hunks(before, second))
    if any(a != b and a.touches(b) for a in ours for b in others):
        return None
    hunks = sorted({*ours, *others}, key=lambda hunk: hunk.start)
    lines: list[str] = []
    at = 0
    for hunk in hunks:
        lines += before[at : hunk.start]
        lines += hunk.lines
        at = hunk.end
    return "\n".join([*lines, *before[at:]])


def _hunks(before: list[str], after: list[str]) -> Iterator[Hunk]:
    for tag, a, b, c, d in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if tag != "equal":
            yield Hunk(a, b, tuple(after[c:d]))
