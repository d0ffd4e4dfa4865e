"""Ways of playing: the marks on a note, the hands and the loudness.

Conventions: amounts are exact; rates are per counted beat; what is 0 is left to the player.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from reedwright.errors import Problem, TuneError
from reedwright.harp.note import MAX_BEND, MAX_HOLES

MAX_RATE = 16
"""Changes per beat of a shake, vibrato or wah: more is a slip of the pen (from memory)."""


class Cup(StrEnum):
    """How the hands hold the harp."""

    OPEN = "open"
    CLOSED = "closed"
    MOVING = "moving"


class Loudness(StrEnum):
    """From soft to loud, in words."""

    VERY_SOFT = "very soft"
    SOFT = "soft"
    MEDIUM = "medium"
    LOUD = "loud"
    VERY_LOUD = "very loud"


@dataclass(frozen=True, slots=True)
class Manner:
    """Cup and loudness from here on; None leaves what was in force before."""

    cup: Cup | None = None
    loudness: Loudness | None = None

    def then(self, later: Manner) -> Manner:
        """This manner with whatever a later one changes."""
        return Manner(later.cup or self.cup, later.loudness or self.loudness)


NO_MANNER = Manner()
"""Nothing changes."""


class MarkKind(StrEnum):
    """Ways of playing a note. The values are the signs of the tune file."""

    DIP = "/"  # glide into the note from below, one sign a semitone
    RAKE = ">"  # sweep across the holes into the note, from a named hole
    THROAT = "v"  # throat vibrato
    HAND = "h"  # hand vibrato
    WAH = "w"  # hand wah
    FLUTTER = "f"  # flutter tongue
    SLAP = "s"  # tongue slap
    PULL = "p"  # tongue pull
    BLOCKED = "t"  # tongue-blocked
    FALL = "\\"  # fall off the note, one sign a semitone
    ACCENT = "!"
    GHOST = "("

    @property
    def word(self) -> str:
        return _MARK_WORDS[self]


_MARK_WORDS = {
    MarkKind.DIP: "dip in",
    MarkKind.RAKE: "rake",
    MarkKind.THROAT: "throat vibrato",
    MarkKind.HAND: "hand vibrato",
    MarkKind.WAH: "hand wah",
    MarkKind.FLUTTER: "flutter",
    MarkKind.SLAP: "tongue slap",
    MarkKind.PULL: "tongue pull",
    MarkKind.BLOCKED: "tongue block",
    MarkKind.FALL: "fall off",
    MarkKind.ACCENT: "accent",
    MarkKind.GHOST: "ghost",
}


@dataclass(frozen=True, slots=True)
class Mark:
    """One mark. `amount`: semitones of a dip or fall, first hole of a rake, rate per beat of a
    vibrato or wah (0: the player's own); 0 for the others."""

    kind: MarkKind
    amount: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        low, high = _AMOUNTS.get(self.kind, (0, 0))
        whole = self.kind in RATED or self.amount.denominator == 1
        if not low <= self.amount <= high or not whole:
            raise wrong(f"a {self.kind.word} of {self.amount}", f"It runs from {low} to {high}")


RATED = frozenset({MarkKind.THROAT, MarkKind.HAND, MarkKind.WAH})
"""Marks that may say how many times a beat."""

_AMOUNTS = {
    MarkKind.DIP: (1, MAX_BEND),
    MarkKind.FALL: (1, MAX_BEND),
    MarkKind.RAKE: (1, MAX_HOLES),
    **dict.fromkeys(RATED, (0, MAX_RATE)),
}


def wrong(found: str, rule: str, mend: str = "") -> TuneError:
    """A value that cannot be."""
    return TuneError(Problem(found=found, rule=rule, mend=mend))
