"""From beat cells to sounds in time, and back.

Conventions: moments in counted beats from beat 1 of bar 1; a pickup is negative. A beat is split
into as few equal parts as what begins and ends in it asks for. Written and read again, sounds stand
where they stood; a hold with nothing before it is lost.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, lcm

from reedwright.tune.marks import NO_MANNER, Manner
from reedwright.tune.values import Bar, Cell, Hold, Part, Rest, Sound


@dataclass(frozen=True, slots=True)
class TimedSound:
    """A sound from a moment on for so many beats; `line` is where it was written, 0 for nowhere."""

    start: Fraction
    length: Fraction
    sound: Sound
    line: int = 0

    @property
    def end(self) -> Fraction:
        return self.start + self.length

    @property
    def single(self) -> bool:
        """Whether it is one note of one hole."""
        return len(self.sound.notes) == 1 and self.sound.shake is None


def sounds_of(bars: Iterable[tuple[int, Bar]], beats: int) -> tuple[TimedSound, ...]:
    """The sounds of numbered bars that follow each other."""
    starts: list[tuple[Fraction, Sound, int]] = []
    ends: list[Fraction] = []
    for number, bar in bars:
        for at, cell in enumerate(bar.cells):
            share = Fraction(1, len(cell.parts))
            for place, part in enumerate(cell.parts):
                moment = (number - 1) * beats + at + place * share
                if isinstance(part, Sound):
                    starts.append((moment, part, bar.line))
                    ends.append(moment + share)
                elif isinstance(part, Hold) and ends and ends[-1] == moment:
                    ends[-1] = moment + share
    return tuple(
        TimedSound(start, end - start, sound, line)
        for (start, sound, line), end in zip(starts, ends, strict=True)
    )


class Barring:
    """Sounds in order of time, none overlapping, as bars of so many beats."""

    def __init__(
        self,
        sounds: Iterable[TimedSound],
        beats: int,
        manners: Mapping[int, Manner] | None = None,
    ) -> None:
        """`manners`: what changes before a beat, by its number from beat 1 of bar 1, which is 0."""
        self._beats, self._manners = beats, manners or {}
        self._sounding: dict[int, list[TimedSound]] = {}
        for sound in sounds:
            for beat in range(floor(sound.start), ceil(sound.end)):
                self._sounding.setdefault(beat, []).append(sound)

    @property
    def has_pickup(self) -> bool:
        return min(self._sounding, default=0) < 0

    def splits(self) -> dict[int, int]:
        """Into how many parts each beat with sound in it is split."""
        return {beat: self._split(beat) for beat in self._sounding}

    def bar(self, bar: int, number: int) -> Bar:
        """One bar (1 is the first, 0 the pickup), numbered as it is to be written."""
        start = (bar - 1) * self._beats
        return Bar(number, tuple(self._cell(beat) for beat in range(start, start + self._beats)))

    def _split(self, beat: int) -> int:
        moments = (m - beat for s in self._sounding.get(beat, ()) for m in (s.start, s.end))
        return lcm(1, *(inside.denominator for inside in moments if 0 < inside < 1))

    def _cell(self, beat: int) -> Cell:
        parts = self._split(beat)
        moments = (beat + Fraction(at, parts) for at in range(parts))
        cell = tuple(self._part(beat, moment) for moment in moments)
        return Cell(cell, self._manners.get(beat, NO_MANNER))

    def _part(self, beat: int, moment: Fraction) -> Part:
        for sound in self._sounding.get(beat, ()):
            if sound.start == moment:
                return sound.sound
            if sound.start < moment < sound.end:
                return Hold()
        return Rest()
