"""The role of a note: what it is to the chord under it, and whether it is a blue note.

Conventions: pitches are MIDI numbers, keys and roots pitch classes 0–11, degrees are those of
`harp.position` (`1 b2 2 b3 3 4 b5 5 b6 6 b7 7`). Tones of the chord come first; then the blue notes
of the key, which are idiom over every chord of a blues; then the colours that sit well on a chord
(sixth, ninth, and the fourth in passing). What is left lies outside. In a minor key the third and
seventh are the scale's own and only the flat fifth is blue. Source: common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from reedwright.harp.position import degree_of
from reedwright.tune.chords import Chord


class Role(StrEnum):
    """What a note is to the chord under it; in the last but one, to the key (no chord known)."""

    ROOT = "root"
    THIRD = "third"
    FOURTH = "fourth"
    FIFTH = "fifth"
    SIXTH = "sixth"
    SEVENTH = "seventh"
    NINTH = "ninth"
    BLUE = "blue note"
    SCALE = "scale note"
    OUTSIDE = "outside"


_BLUE = {3: "blue third", 6: "blue fifth", 10: "blue seventh"}
INTERVALS = (
    *("root", "flat ninth", "ninth", "minor third", "major third", "fourth"),
    *("flat fifth", "fifth", "flat sixth", "sixth", "seventh", "major seventh"),
)
"""What the trade calls a note so many semitones above the root of a chord."""


@dataclass(frozen=True, slots=True)
class Home:
    """The key a tune is heard in: its pitch class, whether it is minor, and the harp's own scale
    in it (semitones above the key note)."""

    key: int
    minor: bool
    scale: frozenset[int]

    def blue(self, midi: int) -> str:
        """`blue third`, `blue fifth`, `blue seventh`; empty for every other note."""
        above = (midi - self.key) % 12
        return "" if self.minor and above != 6 else _BLUE.get(above, "")


@dataclass(frozen=True, slots=True)
class Tone:
    """One sounding reed. `chord_degree` is empty where no chord is known; `blue` says that it is a
    blue note of the key, which it may be while it is a tone of the chord (`in_chord`) as well."""

    midi: int
    degree: str
    chord_degree: str
    role: Role
    in_chord: bool
    blue: bool
    why: str

    @property
    def outside(self) -> bool:
        return self.role is Role.OUTSIDE


def tone(midi: int, home: Home, chord: Chord | None, chord_name: str = "") -> Tone:
    """What a pitch is in a key, over a chord; `chord_name` is how the reason names it."""
    blue = home.blue(midi)
    at_home = degree_of(midi, home.key)
    if chord is None:
        role = _role_in_key(midi, home, blue)
        why = f"the {blue} of the key" if blue else f"{at_home} of the key"
        return Tone(midi, at_home, "", role, False, bool(blue), why)
    above = (midi - chord.root) % 12
    role, in_chord = roles_of(chord.quality)[above], above in chord.intervals
    if blue and not in_chord:
        role = Role.BLUE
    why = _why(above, role, in_chord, blue, chord_name or chord.name())
    return Tone(midi, at_home, degree_of(midi, chord.root), role, in_chord, bool(blue), why)


def _role_in_key(midi: int, home: Home, blue: str) -> Role:
    if blue:
        return Role.BLUE
    return Role.SCALE if (midi - home.key) % 12 in home.scale else Role.OUTSIDE


def _why(above: int, role: Role, in_chord: bool, blue: str, chord: str) -> str:
    if role is Role.BLUE:
        return f"the {blue} of the key over {chord}"
    if role is Role.OUTSIDE:
        return f"outside {chord}, the {INTERVALS[above]} above its root"
    if in_chord:
        return f"the {role} of {chord}" + f" and the {blue} of the key" * bool(blue)
    return f"the {role} over {chord}"


@cache
def roles_of(quality: str) -> tuple[Role, ...]:
    """The role of each of the twelve notes above the root of a chord, blue notes aside."""
    intervals = Chord(0, quality).intervals
    roles = [Role.OUTSIDE] * 12
    roles[2], roles[5], roles[9] = Role.NINTH, Role.FOURTH, Role.SIXTH
    if not {10, 11, 9} & set(intervals):  # a plain chord takes either seventh
        roles[10] = roles[11] = Role.SEVENTH
    if not {3, 4, 5} & set(intervals):  # root and fifth alone take either third
        roles[3] = roles[4] = Role.THIRD
    for interval in intervals:
        roles[interval] = _named(interval, intervals)
    return tuple(roles)


def _named(interval: int, intervals: tuple[int, ...]) -> Role:
    if interval == 3 and 4 in intervals:
        return Role.NINTH  # the sharp ninth of a 7#9
    if interval == 9 and intervals == (0, 3, 6, 9):
        return Role.SEVENTH  # of a diminished seventh
    names = {0: Role.ROOT, 2: Role.NINTH, 3: Role.THIRD, 4: Role.THIRD, 5: Role.FOURTH}
    names |= {6: Role.FIFTH, 7: Role.FIFTH, 8: Role.FIFTH, 9: Role.SIXTH}
    return names.get(interval, Role.SEVENTH)
