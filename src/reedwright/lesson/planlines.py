"""The order of a lesson as a teacher writes it: `learn Call, pieces 1 to 2, at 72`.

Conventions: a line names what is done and with what; the lick is kept as it is written and looked
up only when a plan is made, so that a plan outlives an edit of the tune. Lines that say `each lick`
one after the other go together: all of them for the first lick, then for the next.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction

from reedwright.errors import LessonError, Problem
from reedwright.tune.values import Comment

TUNE, EACH = "the tune", "each lick"
"""What a step may name besides a lick."""

MOST_ROUNDS = 100
MOST_LENGTH_S = 86_400.0
"""A day: nobody teaches longer."""


class Doing(StrEnum):
    """What is done in a step; the word a line begins with."""

    HEAR = "hear"
    LEARN = "learn"
    JOIN = "join"
    BAND = "band"


class Speed(StrEnum):
    """A tempo that is named and not counted."""

    SLOW = "slow"
    FULL = "at tempo"


def tempo_text(tempo_bpm: Fraction) -> str:
    """A tempo as it is written: in decimals where three of them say it exactly.

    >>> tempo_text(Fraction(145, 2)), tempo_text(Fraction(200, 3))
    ('72.5', '200/3')
    """
    exact = 1000 % tempo_bpm.denominator == 0
    return f"{float(tempo_bpm):g}" if exact and tempo_bpm < 1000 else str(tempo_bpm)


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One step. `pieces`: first and last by number, None for all; `speed` None: as is usual for
    what is done; `rounds` 0: as many as the table says."""

    doing: Doing
    what: str
    pieces: tuple[int, int] | None = None
    speed: Speed | Fraction | None = None
    rounds: int = 0
    line: int = field(default=0, compare=False)

    def __post_init__(self) -> None:
        first, last = self.pieces or (1, 1)
        if not self.what or not 1 <= first <= last or not 0 <= self.rounds <= MOST_ROUNDS:
            raise LessonError(Problem(f"no step can be `{self.doing} {self.what}` so"))

    def __str__(self) -> str:
        parts = [f"{self.doing} {self.what}"]
        if self.pieces:
            first, last = self.pieces
            parts.append(f"piece {first}" if first == last else f"pieces {first} to {last}")
        if isinstance(self.speed, Speed):
            parts.append(str(self.speed))
        elif self.speed is not None:
            parts.append(f"at {tempo_text(self.speed)}")
        if self.rounds:
            parts.append({1: "once", 2: "twice"}.get(self.rounds, f"{self.rounds} times"))
        return ", ".join(parts)


@dataclass(frozen=True, slots=True)
class PlanText:
    """A file of a teacher's: steps and comments in the order written, and the length wished for,
    None where none is named."""

    lines: tuple[PlanLine | Comment, ...] = ()
    wished_s: float | None = None

    def __post_init__(self) -> None:
        if self.wished_s is not None and not 0 < self.wished_s <= MOST_LENGTH_S:
            raise LessonError(Problem(f"a lesson of {self.wished_s:g} s", "At most a day"))

    @property
    def steps(self) -> tuple[PlanLine, ...]:
        return tuple(line for line in self.lines if isinstance(line, PlanLine))
