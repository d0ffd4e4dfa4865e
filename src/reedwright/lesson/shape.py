"""What of a lick or a piece is compared: its tab, its rhythm, its bars and its line.

Conventions: times in ticks (see `tune.ticks`), from the first note of the unit. Tab is what sounds
(holes, breath, bend, button, shake); marks, cup and loudness are how it is played, and are not
compared. Two notes are the same when tab, length and the silence before them are; the silence
before the first note of a unit does not count.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from reedwright.harp.harp import Harp
from reedwright.lesson.lines import spans_of
from reedwright.lesson.pitches import pitches_of
from reedwright.tune.events import Event
from reedwright.tune.ticks import TICKS
from reedwright.tune.values import Sound

Note = tuple[int, int, int]
"""Number of the tab, length, silence before."""

Content = tuple[tuple[int, int, int], ...]
"""The notes of a bar: start from the bar line, number of the tab, length."""


@dataclass(frozen=True, slots=True)
class Unit:
    """Something to learn, by its id: a lick by its slug, a piece by its first note."""

    id: str
    events: tuple[Event, ...]


@dataclass(frozen=True, slots=True)
class Shape:
    """A unit as it is compared. `rhythm`: start and length of each note; `contour`: whether the
    top of the line goes down, stays or goes up (-1, 0, 1), None for a note the harp does not have;
    `bars`: what each bar has in it, first to last; `phase`: the first note's start in its bar."""

    unit: Unit
    notes: tuple[Note, ...]
    rhythm: tuple[tuple[int, int], ...]
    contour: tuple[int, ...] | None
    bars: tuple[Content, ...]
    phase: int


class Shapes:
    """Makes shapes of the units of one tune: equal sounds get equal numbers."""

    def __init__(self, harp: Harp, bar_beats: int) -> None:
        self._pitches, self._bar = pitches_of(harp), bar_beats * TICKS
        self._numbers: dict[object, int] = {}
        self._known: dict[int, tuple[int, int | None]] = {}  # by identity: the score holds them

    def of(self, unit: Unit) -> Shape:
        """The shape of a unit with at least one note. Linear in its notes."""
        starts, ends = spans_of(unit.events)
        known = [self._sound(event.sound) for event in unit.events]
        tabs = [tab for tab, _ in known]
        lengths = [end - start for start, end in zip(starts, ends, strict=True)]
        rests = [0, *(start - end for end, start in zip(ends, starts[1:], strict=False))]
        tops = [top for _, top in known]
        return Shape(
            unit=unit,
            notes=tuple(zip(tabs, lengths, rests, strict=True)),
            rhythm=tuple(
                (s - starts[0], length) for s, length in zip(starts, lengths, strict=True)
            ),
            contour=_contour(tops),
            bars=self._bars(starts, tabs, lengths),
            phase=starts[0] % self._bar,
        )

    def _sound(self, sound: Sound) -> tuple[int, int | None]:
        """The number of a sound's tab, and the highest pitch in it."""
        found = self._known.get(id(sound))
        if found is None:
            key = (sound.notes, sound.shake)
            number = self._numbers.setdefault(key, len(self._numbers))
            found = self._known[id(sound)] = (number, self._top(sound))
        return found

    def _top(self, sound: Sound) -> int | None:
        pitches = [self._pitches.of(note) for note in sound.reeds]
        known = [pitch for pitch in pitches if pitch is not None]
        return max(known) if len(known) == len(pitches) else None

    def _bars(
        self, starts: Sequence[int], tabs: Sequence[int], lengths: Sequence[int]
    ) -> tuple[Content, ...]:
        first = starts[0] // self._bar
        bars: list[list[tuple[int, int, int]]] = []
        for start, tab, length in zip(starts, tabs, lengths, strict=True):
            bar, inside = divmod(start, self._bar)
            while len(bars) <= bar - first:
                bars.append([])
            bars[-1].append((inside, tab, length))
        return tuple(map(tuple, bars))


def _contour(tops: Iterable[int | None]) -> tuple[int, ...] | None:
    line: list[int] = []
    for before, after in pairwise(tops):
        if before is None or after is None:
            return None
        line.append((after > before) - (after < before))
    return tuple(line)
