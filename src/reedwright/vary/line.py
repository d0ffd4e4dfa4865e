"""A lick as a line of sounds in time, and back to beat cells.

Conventions: `start` and `length` in counted beats from beat 1 of the lick's bar 1; a pickup is
negative. Borrowed bars are filled in. What changes cup or loudness inside a lick stays on its beat.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor, lcm

from reedwright.tune.licks import FullLick
from reedwright.tune.marks import NO_MANNER, Manner
from reedwright.tune.values import (
    MAX_PARTS,
    Bar,
    Cell,
    Comment,
    Hold,
    Lick,
    Part,
    Remark,
    Rest,
    Sound,
)


@dataclass(frozen=True, slots=True)
class LineNote:
    """One sound of a lick."""

    start: Fraction
    length: Fraction
    sound: Sound

    @property
    def end(self) -> Fraction:
        return self.start + self.length

    @property
    def single(self) -> bool:
        """Whether it is one note of one hole."""
        return len(self.sound.notes) == 1 and self.sound.shake is None


@dataclass(frozen=True, slots=True)
class Line:
    """The sounds of a lick in order, and the bars they stand in (`first` 0 with a pickup bar)."""

    lick: Lick
    first: int
    last: int
    beats: int
    notes: tuple[LineNote, ...]
    manners: tuple[tuple[int, Manner], ...] = ()

    @property
    def begin(self) -> Fraction:
        """Where the lick's first bar begins, in beats."""
        return Fraction((self.first - 1) * self.beats)

    @property
    def end(self) -> Fraction:
        return Fraction(self.last * self.beats)

    def with_notes(self, notes: Iterable[LineNote]) -> Line:
        return replace(self, notes=tuple(notes))

    def fits(self) -> bool:
        """Whether the sounds stay in the lick's bars, in order, on parts a beat can have."""
        moments = [moment for note in self.notes for moment in (note.start, note.end)]
        bounds = [self.begin, *moments, self.end]
        if any(a > b for a, b in pairwise(bounds)) or any(n.length <= 0 for n in self.notes):
            return False
        return all(
            _split(beat, sounding) <= MAX_PARTS for beat, sounding in self._by_beat().items()
        )

    def _by_beat(self) -> dict[int, list[LineNote]]:
        """The sounds that are heard in each beat."""
        found: dict[int, list[LineNote]] = {}
        for note in self.notes:
            for beat in range(floor(note.start), ceil(note.end)):
                found.setdefault(beat, []).append(note)
        return found

    def written(self) -> Lick:
        """The lick with these sounds; remarks and comments stay, after the bars."""
        sounding, manners = self._by_beat(), dict(self.manners)
        bars = []
        for number in range(self.first, self.last + 1):
            start = (number - 1) * self.beats
            cells = (
                _cell(beat, sounding.get(beat, []), manners.get(beat, NO_MANNER))
                for beat in range(start, start + self.beats)
            )
            bars.append(Bar(number, tuple(cells)))
        words = tuple(line for line in self.lick.lines if isinstance(line, Remark | Comment))
        return replace(self.lick, lines=(*bars, *words))


def _split(beat: int, sounding: list[LineNote]) -> int:
    """Into how many parts a beat is split by what begins and ends in it."""
    moments = (moment - beat for note in sounding for moment in (note.start, note.end))
    return lcm(1, *(inside.denominator for inside in moments if 0 < inside < 1))


def _cell(beat: int, sounding: list[LineNote], manner: Manner) -> Cell:
    parts = _split(beat, sounding)
    return Cell(tuple(_part(beat + Fraction(at, parts), sounding) for at in range(parts)), manner)


def _part(moment: Fraction, sounding: list[LineNote]) -> Part:
    for note in sounding:
        if note.start == moment:
            return note.sound
        if note.start < moment < note.end:
            return Hold()
    return Rest()


def line_of(full: FullLick, beats: int) -> Line:
    """A lick as a line."""
    starts: list[tuple[Fraction, Sound]] = []
    ends: list[Fraction] = []
    manners: list[tuple[int, Manner]] = []
    for number in range(full.first, full.last + 1):
        for at, cell in enumerate(full.bar(number).bar.cells):
            beat = (number - 1) * beats + at
            if cell.manner != NO_MANNER:
                manners.append((beat, cell.manner))
            share = Fraction(1, len(cell.parts))
            for place, part in enumerate(cell.parts):
                moment = beat + place * share
                if isinstance(part, Sound):
                    starts.append((moment, part.at(0)))
                    ends.append(moment + share)
                elif isinstance(part, Hold) and ends and ends[-1] == moment:
                    ends[-1] = moment + share
    notes = (
        LineNote(start, end - start, sound)
        for (start, sound), end in zip(starts, ends, strict=True)
    )
    return Line(full.lick, full.first, full.last, beats, tuple(notes), tuple(manners))
