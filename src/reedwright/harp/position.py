"""Positions: the key and mode a harp gives when another of its notes is made home.

Conventions: position 1 is the key of hole 1 blow; each further position lies a fifth higher.
Key = first key + 7·(p − 1) semitones. Positions count from 1 to 12. Source: common practice.
"""

from __future__ import annotations

from reedwright.errors import HarpError, Problem
from reedwright.harp.harp import Harp
from reedwright.harp.pitch import harp_key, pitch_class, shown

POSITIONS = range(1, 13)
_SCALES = {
    "Ionian": (0, 2, 4, 5, 7, 9, 11),
    "Mixolydian": (0, 2, 4, 5, 7, 9, 10),
    "Dorian": (0, 2, 3, 5, 7, 9, 10),
    "Aeolian": (0, 2, 3, 5, 7, 8, 10),
    "Phrygian": (0, 1, 3, 5, 7, 8, 10),
    "Locrian": (0, 1, 3, 5, 6, 8, 10),
    "Lydian": (0, 2, 4, 6, 7, 9, 11),
    "harmonic minor": (0, 2, 3, 5, 7, 8, 11),
}
"""Semitones above the key note of the scales that have a name here (common practice)."""

DEGREES = ("1", "b2", "2", "b3", "3", "4", "b5", "5", "b6", "6", "b7", "7")
"""Names of the twelve degrees above a key note, in the manner of blues players."""

NICKNAMES = {1: "straight", 2: "cross", 3: "slant"}
_ORDINALS = (
    *("first", "second", "third", "fourth", "fifth", "sixth"),
    *("seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"),
)


def position_key(harp: Harp, position: int) -> int:
    """Pitch class of the key this harp gives in a position (1–12)."""
    return (harp.first_key + 7 * (_checked(position) - 1)) % 12


def position_of(harp: Harp, key: str) -> int:
    """The position in which a harp plays in a key."""
    fifths = (pitch_class(key) - harp.first_key) * 7 % 12  # 7 is its own inverse modulo 12
    return fifths + 1


def harp_key_for(key: str, position: int, label_position: int = 1) -> str:
    """The key printed on the harp that gives `key` in a position.

    `label_position` is the tuning's: a natural minor harp, labelled by its second position, gives
    A minor in second position when it says A.

    >>> harp_key_for("E", 2), harp_key_for("C", 2), harp_key_for("A", 2, label_position=2)
    ('A', 'F', 'A')
    """
    fifths = _checked(label_position) - _checked(position)
    return harp_key((pitch_class(key) + 7 * fifths) % 12)


def scale_of(harp: Harp, position: int) -> frozenset[int]:
    """The harp's natural notes in a position, as semitones 0–11 above the key note."""
    home = 7 * (_checked(position) - 1)
    offsets = harp.tuning.blow + harp.tuning.draw
    return frozenset((offset - home) % 12 for offset in offsets)


def mode_of(harp: Harp, position: int) -> str:
    """The mode the harp's natural notes give in a position; empty when it has no name."""
    scale = tuple(sorted(scale_of(harp, position)))
    return next((name for name, steps in _SCALES.items() if steps == scale), "")


def degree_of(midi: int, key: int) -> str:
    """The degree of a pitch above the key with this pitch class: `1`, `b3`, `b7` …

    >>> degree_of(70, 7), degree_of(73, 7)
    ('b3', 'b5')
    """
    return DEGREES[(midi - key) % 12]


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
