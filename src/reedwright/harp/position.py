"""Positions: the key and mode a harp gives when another of its notes is made home.

Conventions: position 1 is the key of hole 1 blow; each further position lies a fifth higher.
Key = first key + 7·(p − 1) semitones. Positions count from 1 to 12. Source: common practice.
"""

from __future__ import annotations

from reedwright.errors import HarpError, Problem
from reedwright.harp.harp import Harp
from reedwright.harp.pitch import harp_key, pitch_class, shown

POSITIONS = range(1, 13)
MODES = {
    1: "Ionian",
    2: "Mixolydian",
    3: "Dorian",
    4: "Aeolian",
    5: "Phrygian",
    6: "Locrian",
    12: "Lydian",
}
"""Modes that the natural notes of a Richter harp give; the others begin on a bent note."""

NICKNAMES = {1: "straight", 2: "cross", 3: "slant"}
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
_ORDINALS += ("ninth", "tenth", "eleventh", "twelfth")


def position_key(harp: Harp, position: int) -> int:
    """Pitch class of the key this harp gives in a position (1–12)."""
    return (harp.first_key + 7 * (_checked(position) - 1)) % 12


def position_of(harp: Harp, key: str) -> int:
    """The position in which a harp plays in a key."""
    fifths = (pitch_class(key) - harp.first_key) * 7 % 12  # 7 is its own inverse modulo 12
    return fifths + 1


def harp_key_for(key: str, position: int) -> str:
    """The first-position key of the harp that gives `key` in a position.

    >>> harp_key_for("E", 2), harp_key_for("C", 2)
    ('A', 'F')
    """
    return harp_key((pitch_class(key) - 7 * (_checked(position) - 1)) % 12)


def position_name(position: int) -> str:
    """`second (cross)`, `fourth`."""
    name = _ORDINALS[_checked(position) - 1]
    nickname = NICKNAMES.get(position)
    return f"{name} ({nickname})" if nickname else name


def parse_position(text: str) -> int:
    """A position from `2`, `2nd`, `second`, `cross` or `second (cross)`. Errors: HarpError."""
    words = text.lower().replace("(", " ").replace(")", " ").replace("position", " ").split()
    numbers = {word: number for number, word in enumerate(_ORDINALS, 1)}
    numbers |= {word: number for number, word in NICKNAMES.items()}
    numbers |= {form: n for n in POSITIONS for form in (str(n), f"{n}{_suffix(n)}")}
    found = {numbers.get(word, 0) for word in words}
    if len(found) != 1 or found == {0}:
        raise _unknown(text)
    return found.pop()


def _suffix(number: int) -> str:
    return {1: "st", 2: "nd", 3: "rd"}.get(number, "th")


def _checked(position: int) -> int:
    if position not in POSITIONS:
        raise _unknown(str(position))
    return position


def _unknown(text: str) -> HarpError:
    return HarpError(
        Problem(
            found=f"unknown position {shown(text)}",
            rule="Positions run from 1 to 12",
            mend="write it like 2, second or cross",
        )
    )
