"""What is written in a tune file: sounds, cells, bars, licks and choruses.

Conventions: a cell is one counted beat, its parts are equal shares of it; bars and beats count
from 1, bar 0 is a pickup; rates are per counted beat. Lines and columns count from 1 and never
take part in a comparison, so that two readings of the same music are equal.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache

from reedwright.harp.note import Breath, TabNote
from reedwright.tune.marks import MAX_RATE, NO_MANNER, Cup, Loudness, Manner, Mark, MarkKind, wrong

__all__ = [
    "MAX_PARTS", "Bar", "Borrow", "Cell", "Chorus", "Comment", "Cup", "Entry", "Header", "Hold",
    "Lick", "Loudness", "Manner", "Mark", "MarkKind", "Part", "Remark", "Rest", "Sound", "TuneText",
    "slug",
]  # fmt: skip

MAX_PARTS = 12
"""Equal parts of a beat: sixteenth triplets are 6, more than 12 cannot be counted (from memory)."""


@dataclass(frozen=True, slots=True)
class Sound:
    """A note, chord or split (`notes`, low hole to high), or a shake between two holes.

    `shake`: the other note of a shake, None without one. `shake_rate`: changes per counted beat,
    0 for the player's own.
    """

    notes: tuple[TabNote, ...]
    shake: TabNote | None = None
    shake_rate: Fraction = Fraction(0)
    marks: tuple[Mark, ...] = ()
    column: int = field(default=0, compare=False)

    def __post_init__(self) -> None:
        if not self.notes or (self.shake is not None and len(self.notes) > 1):
            raise wrong("a sound of no note, or a shake of a chord", "A shake has two notes")
        if self.shake_rate and not 0 < self.shake_rate <= MAX_RATE:
            raise wrong(f"a shake of {self.shake_rate} a beat", f"At most {MAX_RATE} a beat")

    def at(self, column: int) -> Sound:
        """The same sound written elsewhere in its line."""
        return Sound(self.notes, self.shake, self.shake_rate, self.marks, column)

    def mark(self, kind: MarkKind) -> Mark | None:
        """The mark of this kind, None when the note has none."""
        return next((mark for mark in self.marks if mark.kind is kind), None)

    @property
    def reeds(self) -> tuple[TabNote, ...]:
        """Every tab note that sounds, a shake's second note last."""
        return self.notes if self.shake is None else (*self.notes, self.shake)

    @property
    def breath(self) -> Breath:
        """The way the air goes (of the first note; the checks see to it that all agree)."""
        return self.notes[0].breath


@dataclass(frozen=True, slots=True)
class Rest:
    """Silence for one part of a cell: `.`"""

    column: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True)
class Hold:
    """The sound before goes on for one part of a cell: `=`"""

    column: int = field(default=0, compare=False)


Part = Sound | Rest | Hold


@dataclass(frozen=True, slots=True)
class Cell:
    """One counted beat split into equal parts; `manner` changes cup or loudness before it."""

    parts: tuple[Part, ...]
    manner: Manner = NO_MANNER

    def __post_init__(self) -> None:
        if not 1 <= len(self.parts) <= MAX_PARTS:
            raise wrong(f"a beat of {len(self.parts)} parts", f"A beat has 1 to {MAX_PARTS}")


@dataclass(frozen=True, slots=True)
class Bar:
    """A written bar of a lick."""

    number: int
    cells: tuple[Cell, ...]
    line: int = field(default=0, compare=False)
    column: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True)
class Borrow:
    """Bars `first` to `last` of this lick are bars of another: `3-4: as Call, bars 1-2`.

    `other_first` and `other_last` are None for the whole lick from its bar 1.
    """

    first: int
    last: int
    lick: str
    other_first: int | None = None
    other_last: int | None = None
    line: int = field(default=0, compare=False)
    column: int = field(default=0, compare=False)

    def __post_init__(self) -> None:
        ends = (self.other_first, self.other_last)
        if self.last < self.first or (ends[0] or 0) > (ends[1] or 0) or ends.count(None) == 1:
            raise wrong("bars that run backwards", "Write the lower bar first", "swap the two")


@dataclass(frozen=True, slots=True)
class Remark:
    """`> text`: the teacher's words to the student, printed with the lick."""

    text: str


@dataclass(frozen=True, slots=True)
class Comment:
    """`# text`: a note to oneself, kept in the file only."""

    text: str


@dataclass(frozen=True, slots=True)
class Lick:
    """A named lick: its bars, borrowed bars, remarks and comments in the order written."""

    name: str
    manner: Manner = NO_MANNER
    lines: tuple[Bar | Borrow | Remark | Comment, ...] = ()
    line: int = field(default=0, compare=False)
    column: int = field(default=0, compare=False)

    @property
    def remarks(self) -> tuple[str, ...]:
        return tuple(line.text for line in self.lines if isinstance(line, Remark))

    @property
    def slug(self) -> str:
        return slug(self.name)


@dataclass(frozen=True, slots=True)
class Entry:
    """`5 Answer, from bar 1`: a lick placed at a bar of the chorus, whole or cut, once or more.

    `lick` is empty for a rest of `times` bars. Cuts are bars (and beats) of the lick, both ends
    included; None keeps that end whole.
    """

    bar: int
    lick: str
    from_bar: int | None = None
    from_beat: int | None = None
    to_bar: int | None = None
    to_beat: int | None = None
    times: int = 1
    line: int = field(default=0, compare=False)
    column: int = field(default=0, compare=False)

    def __post_init__(self) -> None:
        bars_first = (self.from_beat and self.from_bar is None) or (
            self.to_beat and self.to_bar is None
        )
        if self.times < 1 or bars_first:
            raise wrong("a place in a chorus without sense", "A beat belongs to a bar")

    @property
    def is_rest(self) -> bool:
        return not self.lick


@dataclass(frozen=True, slots=True)
class Chorus:
    """The running order of one time through the form, played `times` times."""

    lines: tuple[Entry | Remark | Comment, ...] = ()
    times: int = 1
    line: int = field(default=0, compare=False)
    column: int = field(default=0, compare=False)

    def __post_init__(self) -> None:
        if self.times < 1:
            raise wrong(f"a chorus {self.times} times", "A chorus is played at least once")

    @property
    def entries(self) -> tuple[Entry, ...]:
        return tuple(line for line in self.lines if isinstance(line, Entry))


@dataclass(frozen=True, slots=True)
class Header:
    """One `Key: value` line as written."""

    key: str
    value: str
    line: int = field(default=0, compare=False)
    column: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True)
class TuneText:
    """A tune file as written: header lines and blocks, in order, with remarks and comments."""

    head: tuple[Header | Remark | Comment, ...] = ()
    blocks: tuple[Lick | Chorus, ...] = ()

    @property
    def licks(self) -> tuple[Lick, ...]:
        return tuple(block for block in self.blocks if isinstance(block, Lick))

    @property
    def choruses(self) -> tuple[Chorus, ...]:
        return tuple(block for block in self.blocks if isinstance(block, Chorus))


@lru_cache(maxsize=4096)
def slug(name: str) -> str:
    """A name as plain ASCII for ids and file names: `Été, slow` → `ete-slow`."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode("ascii")
    kept = "".join(char.lower() if char.isalnum() else " " for char in plain)
    return "-".join(kept.split())
