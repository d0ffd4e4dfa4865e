"""A caption: words on the screen from one moment of a file to another.

Conventions: whole milliseconds from the first sample of the file, since both caption formats say
no less. A cue holds up to a few lines, a line runs of text; a run may have a moment of its own, at
which it is reached, inside the cue. Text is plain: each format escapes it for itself.
Source: W3C WebVTT (cues, inline timestamps). How long a cue must stay and how fast people read:
common practice of subtitling, from memory (`data/captions.toml`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from reedwright.errors import LessonError, Problem

MOST_MS = 359_999_999
"""99:59:59.999, the last moment that two figures of hours can say (SRT has no more)."""


@dataclass(frozen=True, slots=True)
class Run:
    """Words of a line; `at_ms`: when they are reached, None where nothing marks it."""

    text: str
    at_ms: int | None = None


@dataclass(frozen=True, slots=True)
class Cue:
    """`lines` from `start_ms` to `end_ms`. Runs are reached in order, inside the cue."""

    start_ms: int
    end_ms: int
    lines: tuple[tuple[Run, ...], ...]

    def __post_init__(self) -> None:
        if not 0 <= self.start_ms < self.end_ms <= MOST_MS:
            said = f"a caption from {self.start_ms} to {self.end_ms} ms"
            rule = "Captions run forward, from 0 to less than 100 hours"
            raise LessonError(Problem(said, rule, "choose a shorter recording"))
        moments = [run.at_ms for line in self.lines for run in line if run.at_ms is not None]
        inside = [self.start_ms, *moments, self.end_ms]
        if any(later <= before for before, later in pairwise(inside)):
            raise LessonError(Problem(f"moments out of order in a caption: {inside}"))

    @property
    def text(self) -> str:
        """What is read, line by line."""
        return "\n".join("".join(run.text for run in line) for line in self.lines)


def plain(text: str) -> str:
    """Text for one line: no breaks, and no sign that a screen cannot show."""
    shown = (char if char.isprintable() or char in _DIRECTION else " " for char in text)
    return " ".join("".join(shown).split())


_DIRECTION = "\u2066\u2067\u2068\u2069\u200d\u200c"
"""Isolates for direction (UAX 9), and the joiners that some scripts are spelled with."""


def clock(moment_ms: int, point: str) -> str:
    """A moment as both formats write it, hours in two figures; `point` before the milliseconds.

    >>> clock(3_723_004, "."), clock(MOST_MS, ",")
    ('01:02:03.004', '99:59:59,999')
    """
    seconds, rest = divmod(moment_ms, 1000)
    minutes, second = divmod(seconds, 60)
    return f"{minutes // 60:02}:{minutes % 60:02}:{second:02}{point}{rest:03}"


def in_order(cues: Sequence[Cue]) -> Sequence[Cue]:
    """The cues, none of which begins before the one before has ended. Errors: LessonError."""
    for before, after in pairwise(cues):
        if after.start_ms < before.end_ms:
            found = f"captions on top of each other at {clock(after.start_ms, '.')}"
            raise LessonError(Problem(found, "One is read at a time"))
    return cues
