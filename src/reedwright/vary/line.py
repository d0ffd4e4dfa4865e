"""A lick as a line of sounds in time, and back to beat cells.

Conventions: `start` and `length` in counted beats from beat 1 of the lick's bar 1; a pickup is
negative. Borrowed bars are filled in. What changes cup or loudness inside a lick stays on its beat.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from reedwright.tune.barring import Barring, TimedSound, sounds_of
from reedwright.tune.licks import FullLick
from reedwright.tune.marks import NO_MANNER, Manner
from reedwright.tune.values import MAX_PARTS, Comment, Lick, Remark


@dataclass(frozen=True, slots=True)
class Line:
    """The sounds of a lick in order, and the bars they stand in (`first` 0 with a pickup bar)."""

    lick: Lick
    first: int
    last: int
    beats: int
    notes: tuple[TimedSound, ...]
    manners: tuple[tuple[int, Manner], ...] = ()

    @property
    def begin(self) -> Fraction:
        """Where the lick's first bar begins, in beats."""
        return Fraction((self.first - 1) * self.beats)

    @property
    def end(self) -> Fraction:
        return Fraction(self.last * self.beats)

    def with_notes(self, notes: Iterable[TimedSound]) -> Line:
        return replace(self, notes=tuple(notes))

    def fits(self) -> bool:
        """Whether the sounds stay in the lick's bars, in order, on parts a beat can have."""
        moments = [moment for note in self.notes for moment in (note.start, note.end)]
        bounds = [self.begin, *moments, self.end]
        if any(a > b for a, b in pairwise(bounds)) or any(n.length <= 0 for n in self.notes):
            return False
        return all(parts <= MAX_PARTS for parts in self._barring().splits().values())

    def _barring(self) -> Barring:
        return Barring(self.notes, self.beats, dict(self.manners))

    def written(self) -> Lick:
        """The lick with these sounds; remarks and comments stay, after the bars."""
        barring = self._barring()
        bars = (barring.bar(number, number) for number in range(self.first, self.last + 1))
        words = (line for line in self.lick.lines if isinstance(line, Remark | Comment))
        return replace(self.lick, lines=(*bars, *words))


def line_of(full: FullLick, beats: int) -> Line:
    """A lick as a line."""
    bars = [(number, full.bar(number).bar) for number in range(full.first, full.last + 1)]
    manners = tuple(
        ((number - 1) * beats + at, cell.manner)
        for number, bar in bars
        for at, cell in enumerate(bar.cells)
        if cell.manner != NO_MANNER
    )
    notes = tuple(
        replace(sound, sound=sound.sound.at(0), line=0) for sound in sounds_of(bars, beats)
    )
    return Line(full.lick, full.first, full.last, beats, notes, manners)
