"""The cuts a teacher has moved: `cut before call:2.1.1@1.2`, `no cut before call:1.3.1@1.1`.

Conventions: a cut is named by the id of the note it stands before. What the teacher does not say is
left to the cutting, so an edit of another lick or another level keeps the teacher's own cuts. The
words are those of the file beside the tune (see `cutsfile`).
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from reedwright.errors import LessonError, Problem
from reedwright.harp.pitch import shown
from reedwright.tune.values import Comment

ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*:[0-9]+(?:\.[0-9]+){2}@[0-9]+\.[0-9]+")
"""An event's id: lick, bar, beat and part; chorus and bar."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A cut before an event, or that there is to be none (`here` is False)."""

    id: str
    here: bool = True
    line: int = field(default=0, compare=False)

    def __post_init__(self) -> None:
        if ID.fullmatch(self.id) is None:
            raise LessonError(
                Problem(
                    f"{shown(self.id)} names no note",
                    "A note is named by its id: lick, bar, beat and part, chorus and bar",
                    "write it like call:2.1.1@1.2",
                )
            )

    def __str__(self) -> str:
        return f"{'cut' if self.here else 'no cut'} before {self.id}"


@dataclass(frozen=True, slots=True)
class Cuts:
    """What a teacher says about cuts, with comments, in the order written. No note is named twice.

    >>> str(Cuts().moved("a:1.2.1@1.1", "a:1.3.1@1.1").cuts[1])
    'cut before a:1.3.1@1.1'
    """

    lines: tuple[Cut | Comment, ...] = ()

    def __post_init__(self) -> None:
        ids = [cut.id for cut in self.cuts]
        if len(set(ids)) < len(ids):
            twice = next(name for name in ids if ids.count(name) > 1)
            raise LessonError(Problem(f"{twice} is named twice", "A note is named once", "drop it"))

    @property
    def cuts(self) -> tuple[Cut, ...]:
        return tuple(line for line in self.lines if isinstance(line, Cut))

    def having(self, cut: Cut) -> Cuts:
        """These with one more, in place of what was said of the same note."""
        kept = [line for line in self.lines if not (isinstance(line, Cut) and line.id == cut.id)]
        return replace(self, lines=(*kept, cut))

    def without(self, *ids: str) -> Cuts:
        """These with nothing said of some notes any more, as when they have gone."""
        gone = frozenset(ids)
        kept = [line for line in self.lines if not (isinstance(line, Cut) and line.id in gone)]
        return replace(self, lines=tuple(kept))

    def moved(self, from_id: str, to_id: str) -> Cuts:
        """A cut moved from before one note to before another."""
        return self.having(Cut(from_id, here=False)).having(Cut(to_id))
