"""The bars of a score as columns of plain text.

Conventions: as in `text`. A column stands at every beat and wherever a sound or rest begins.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from reedwright.sheet.barpattern import Piece
from reedwright.sheet.counting import Counts
from reedwright.sheet.headings import (
    Heading,
    changes,
    chord_changes,
    headings,
    pickup_names,
    said_with_name,
)
from reedwright.sheet.options import SheetOptions
from reedwright.sheet.rhythm import NotatedBar, Rhythm, notate
from reedwright.sheet.tabstyle import tab_lines, technique
from reedwright.sheet.textline import Run, Slot
from reedwright.tune.chords import Chord
from reedwright.tune.place import Score
from reedwright.tune.values import MarkKind

_NO_HEADING = Heading()
HOLD, REST, BREATHE = "=", ".", "^"


@dataclass(frozen=True, slots=True)
class TextBar:
    """A bar, where it stands as people count, and the remarks that come before it."""

    chorus: int
    number: int
    run: Run
    remarks: tuple[tuple[str, str], ...]


def text_bars(score: Score, options: SheetOptions) -> Iterator[TextBar]:
    """All bars in order. Errors: SheetError for a beat split too finely to be written."""
    rhythm = notate(score)
    writer = _Writer(score, options, rhythm)
    over = headings(score)
    before: Chord | None = None
    for bar in rhythm.bars:
        chorus, number = score.order.place_of(bar.bar)
        heading = over.get(bar.bar, _NO_HEADING)
        said = chord_changes(score, bar.bar, before if number != 1 else None)
        before = said[-1][1] if said else before
        chords = {int(beat * rhythm.beat_ticks): chord for beat, chord in said}
        slots = writer.slots(bar, heading, chords)
        remarks = heading.remarks if options.remarks else ()
        yield TextBar(chorus, number, Run(str(number), slots), remarks)


class _Writer:
    """Turns notated bars into columns."""

    def __init__(self, score: Score, options: SheetOptions, rhythm: Rhythm) -> None:
        self._score, self._options = score, options
        self._ticks = rhythm.beat_ticks
        self._changes = changes(score.events)
        self._names = pickup_names(score)

    def slots(
        self, bar: NotatedBar, heading: Heading, chords: dict[int, Chord]
    ) -> tuple[Slot, ...]:
        beats = range(bar.first_beat, self._score.tune.meter.beats)
        columns = {beat * self._ticks: self._held(bar, beat * self._ticks) for beat in beats}
        seen = -1
        for piece in bar.pieces:
            if piece.span != seen and (piece.starts or piece.rest):
                columns[piece.at] = self._tab(bar, piece)
            seen = piece.span
        columns |= {at: self._held(bar, at) for at in chords if at not in columns}
        first = min(columns)
        counts = Counts(columns, self._ticks)
        fifths = self._score.tune.fifths
        return tuple(
            Slot(
                count=counts.word(at),
                tab=columns[at],
                above=self._above(bar, at, heading if at == first else _NO_HEADING),
                chord=chords[at].name(fifths) if at in chords else "",
                below=self._below(bar, at),
            )
            for at in sorted(columns)
        )

    def _held(self, bar: NotatedBar, at: int) -> tuple[str, ...]:
        under = next(p for p in bar.pieces if p.at <= at < p.at + p.length)
        return (REST if under.rest else HOLD,)

    def _tab(self, bar: NotatedBar, piece: Piece) -> tuple[str, ...]:
        if piece.rest:
            return (REST,)
        event = self._score.events[bar.events[piece.span]]
        first, *others = tab_lines(event.sound, self._options.tab, dash="-")
        first += "!" * (event.sound.mark(MarkKind.ACCENT) is not None)
        return (first + BREATHE * (event.id in self._options.breath_marks), *others)

    def _starting(self, bar: NotatedBar, at: int) -> int:
        """Index of the event that begins at a time, −1 for none."""
        found = (bar.events[p.span] for p in bar.pieces if p.at == at and p.starts and not p.rest)
        return next(found, -1)

    def _above(self, bar: NotatedBar, at: int, heading: Heading) -> str:
        starting = self._starting(bar, at)
        own = [self._names[starting][1]] if starting in self._names else []
        names = ", ".join([*heading.licks, *own])
        early = said_with_name(bar, heading, self._names)
        change = self._changes.pop(starting if early < 0 else early, None)
        manner = f"({change.words})" if change else ""
        return " ".join(text for text in (names, manner) if text)

    def _below(self, bar: NotatedBar, at: int) -> str:
        index = self._starting(bar, at)
        return technique(self._score.events[index].sound) if index >= 0 else ""
