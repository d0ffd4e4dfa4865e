"""Tab notes: one hole, one breath, how far it is bent.

Conventions: holes count from 1 on the left (low) side. Tokens: `4b` blow, `4d` draw, `'` for each
semitone of bend, `o` for an overbend in the direction played (`6bo`, `7do`), `*` for the pressed
button of a slide harp (`3b*`). These are tab notes only; chords and marks belong to the tune.
Source: common practice; the button sign is our own.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from enum import StrEnum

from reedwright.errors import Problem, TokenError
from reedwright.harp.pitch import shown

MAX_HOLES = 16
MAX_BEND = 5
"""More semitones than any tuning in use bends; a longer row of primes is a slip of the finger."""


class Breath(StrEnum):
    """The way the air goes: out (`blow`) or in (`draw`)."""

    BLOW = "b"
    DRAW = "d"

    @property
    def word(self) -> str:
        return "blow" if self is Breath.BLOW else "draw"

    @property
    def other(self) -> Breath:
        return Breath.DRAW if self is Breath.BLOW else Breath.BLOW


@dataclass(frozen=True, slots=True, order=True)
class TabNote:
    """One reed's worth of tab: `hole` 1–16, `bend` in semitones 0–5, `over` for an overbend."""

    hole: int
    breath: Breath
    bend: int = 0
    over: bool = False
    button: bool = False

    def __post_init__(self) -> None:
        if not 1 <= self.hole <= MAX_HOLES or not 0 <= self.bend <= MAX_BEND:
            raise TokenError(_out_of_range(f"hole {self.hole}, bent {self.bend} semitones"))
        if self.over and self.bend:
            raise TokenError(Problem(found="a bend and an overbend at once", rule="Choose one"))

    def natural(self) -> TabNote:
        """The same hole and breath, neither bent nor overbent."""
        return replace(self, bend=0, over=False)

    def __str__(self) -> str:
        over, button = "o" * self.over, "*" * self.button
        return f"{self.hole}{self.breath.value}{over}{chr(39) * self.bend}{button}"


_TOKEN = re.compile(r"([1-9][0-9]?)([bd]?)(o?)('*)(\*?)")


def parse_note(token: str, breath: Breath | None = None) -> TabNote:
    """Read one tab note such as `3d''`, `6bo`, `6o`, `3b*`.

    `breath` is used when the token has no letter of its own (inside a chord such as `1+2d`).
    `6o` without a letter is read as an overblow up to hole 6 and an overdraw from hole 7 on,
    where a ten-hole harp has them. Errors: TokenError.

    >>> str(parse_note("6o")), str(parse_note("3d''"))
    ('6bo', "3d''")
    """
    match = _TOKEN.fullmatch(token)
    if match is None:
        raise TokenError(_unreadable(token))
    hole, letter, over, primes, button = match.groups()
    if letter:
        breath = Breath(letter)
    elif over and breath is None:
        breath = Breath.BLOW if int(hole) <= 6 else Breath.DRAW
    if breath is None:
        raise TokenError(_unreadable(token))
    if int(hole) > MAX_HOLES or len(primes) > MAX_BEND:
        raise TokenError(_out_of_range(token))
    return TabNote(int(hole), breath, len(primes), bool(over), bool(button))


def _out_of_range(found: str) -> Problem:
    rule = f"Holes run from 1 to {MAX_HOLES}, bends from 0 to {MAX_BEND} semitones"
    return Problem(found=f"no harp has {shown(found)}", rule=rule)


def _unreadable(token: str) -> Problem:
    return Problem(
        found=f"{shown(token)} is not a tab note",
        rule="A tab note is a hole number, b (blow) or d (draw), and ' for each semitone of bend",
        mend="write it like 4b, 4d, 3d'' or 6bo",
    )
