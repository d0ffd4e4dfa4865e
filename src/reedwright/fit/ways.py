"""Every way to play a pitch, or several together, on one tuning by one student.

Conventions: pitches are semitones above the harp's key note, so that what is found for one key
holds for all. Ways stand in the order in which ties are broken: natural notes before bends before
overbends, less bent before more, lower holes first, blow before draw. Several pitches sound on one
breath: holes side by side, or two with the tongue on those between (a split).
Source: common practice for chords and splits; the rest is the law of the harp room.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import product

from reedwright.harp.harp import Harp
from reedwright.harp.law import notes_of_hole, offset_of
from reedwright.harp.note import Breath, TabNote
from reedwright.harp.tuning import Tuning
from reedwright.tune.techniques import ladder, techniques_of
from reedwright.tune.values import Sound

SPLIT_SPANS = (3, 4, 5)
"""Holes from the lowest to the highest of a split (common practice: octaves and sevenths)."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way: `notes` low hole to high (of a shake: the first note first); `difficulty` of its
    hardest technique, 1 to 10; `low` and `high` are its outer holes, `bent` whether any note of it
    is bent or overbent."""

    rank: int
    notes: tuple[TabNote, ...]
    difficulty: float
    low: int = field(init=False, compare=False)
    high: int = field(init=False, compare=False)
    bent: bool = field(init=False, compare=False)

    def __post_init__(self) -> None:
        """What every move asks for is worked out once."""
        holes = [note.hole for note in self.notes]
        object.__setattr__(self, "low", min(holes))
        object.__setattr__(self, "high", max(holes))
        object.__setattr__(self, "bent", any(note.bend or note.over for note in self.notes))

    @property
    def draws(self) -> bool:
        return self.notes[0].breath is Breath.DRAW

    @property
    def overbent(self) -> bool:
        return any(note.over for note in self.notes)

    @property
    def pressed(self) -> bool:
        return self.notes[0].button


class Ways:
    """The ways of one tuning; remembers what it has been asked for."""

    def __init__(self, tuning: Tuning, abilities: frozenset[str] | None = None) -> None:
        """`abilities`: ids of the techniques that may be used, all of them for None."""
        self.tuning = tuning
        self._harp = Harp("C", tuning)
        self._abilities = abilities
        self._single: dict[int, list[TabNote]] = {}
        notes = [
            note for hole in range(1, tuning.holes + 1) for note in notes_of_hole(tuning, hole)
        ]
        for note in sorted(notes, key=_order):
            self._single.setdefault(offset_of(tuning, note), []).append(note)
        self._known: dict[tuple[int, ...], tuple[Way, ...]] = {}
        self._count = 0
        self.lowest, self.highest = min(self._single), max(self._single)

    def of(self, pitches: tuple[int, ...]) -> tuple[Way, ...]:
        """The ways to play pitches together, in the order of ties; none when there is none."""
        found = self._known.get(pitches)
        if found is None:
            found = self._known[pitches] = tuple(self._found(pitches))
        return found

    def shakes(self, first: int, other: int) -> tuple[Way, ...]:
        """The ways to shake between two pitches: neighbouring holes on one breath."""
        key = (first, other, -1)  # no chord has such a pitch
        if key not in self._known:
            self._known[key] = tuple(self._shaken(first, other))
        return self._known[key]

    def _shaken(self, first: int, other: int) -> Iterator[Way]:
        for one, two in product(self._single.get(first, []), self._single.get(other, [])):
            beside = abs(one.hole - two.hole) == 1
            if beside and one.breath is two.breath and one.button == two.button:
                yield from self._allowed(Sound((one,), two))

    def _found(self, pitches: tuple[int, ...]) -> Iterator[Way]:
        choices = [self._single.get(pitch, []) for pitch in pitches]
        for notes in product(*choices):
            if len(notes) == 1 or _together(notes):
                yield from self._allowed(Sound(tuple(sorted(notes, key=lambda note: note.hole))))

    def _allowed(self, sound: Sound) -> Iterator[Way]:
        """The sound as a way, if the student may have it."""
        asked = techniques_of(sound, self._harp)
        if self._abilities is None or self._abilities.issuperset(asked):
            hardest = max(ladder().techniques[each].difficulty for each in asked)
            yield Way(self._count, sound.reeds, hardest)
            self._count += 1


def _order(note: TabNote) -> tuple[bool, int, int, str, bool]:
    return note.over, note.bend, note.hole, note.breath.value, note.button


def _together(notes: tuple[TabNote, ...]) -> bool:
    """Whether one mouth can sound them: one breath, one button, none bent unless all the chord is
    two notes; holes side by side or a split."""
    first = notes[0]
    if any(note.breath is not first.breath or note.button != first.button for note in notes):
        return False
    if any(note.bend or note.over for note in notes):
        return False
    holes = sorted(note.hole for note in notes)
    if len(set(holes)) < len(holes):
        return False
    span = holes[-1] - holes[0] + 1
    return span == len(holes) or (len(holes) == 2 and span in SPLIT_SPANS)
