"""A fact that can be said of a piece, and what all of them are found with.

Conventions: a fact names its kind (`role.landing`, as in the wording), the plain values it states,
the texts its sentence is filled with, and the notes it is about. Facts are true of the score;
nothing is said that is not one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from typing import Any

from reedwright.breath.of_tune import breath_plan_marks
from reedwright.harmony.tones import EventHarmony, tones
from reedwright.lesson.pieces import Piece
from reedwright.lesson.study import PieceStudy, Study
from reedwright.lesson.words.isolate import isolated
from reedwright.lesson.words.vocabulary import Vocabulary
from reedwright.lesson.words.wording import Wording
from reedwright.tune.events import Event

HELD_BEATS = Fraction(2)
"""A note this long is a held one, as for the cuts (from memory)."""


@dataclass(frozen=True, slots=True)
class Fact:
    """Something to say. `kind`: `section.kind` of the wording; `values`: what it states."""

    kind: str
    values: Mapping[str, Any]
    filled: Mapping[str, str]
    event_ids: tuple[str, ...] = field(default=())


class Context:
    """What the facts of one tune are found with, worked out when first needed.

    `tempo_bpm`: that of the breathing plan. Errors: SettingError for the tune's `Lungs:` line or a
    tempo nobody can count, once the breath is asked for.
    """

    def __init__(self, study: Study, tempo_bpm: Fraction, wording: Wording) -> None:
        self.study, self.score, self.tempo_bpm = study, study.score, tempo_bpm
        self.tune = study.score.tune
        choruses = len(study.score.order.chorus_starts)
        self.say = Vocabulary(wording, compound=self.tune.meter.compound, choruses=choruses)

    @cached_property
    def pieces(self) -> dict[str, PieceStudy]:
        """Every piece by its id."""
        return {study.piece.id: study for study in self.study.pieces}

    @cached_property
    def events(self) -> dict[str, Event]:
        """Every note by its id."""
        return {event.id: event for event in self.score.events}

    @cached_property
    def harmony(self) -> dict[str, EventHarmony]:
        """Chord and tones of every note, by its id."""
        rows = zip(self.score.events, tones(self.score), strict=True)
        return {event.id: row for event, row in rows}

    @cached_property
    def breaths(self) -> dict[str, str]:
        """`in` or `out` by the id of the note after which the plan breathes."""
        marks = breath_plan_marks(self.score, self.tempo_bpm)
        return {mark.id: mark.direction for mark in marks}

    @cached_property
    def names(self) -> dict[str, str]:
        """What each piece is called, by its id: its lick's name where that has no other piece."""
        return dict(self._names())

    def _names(self) -> Iterator[tuple[str, str]]:
        counts = Counter(study.piece.slug for study in self.study.pieces)
        for study in self.study.pieces:
            piece, lick = study.piece, isolated(study.piece.lick)
            alone = counts[piece.slug] == 1
            told = self.say.wording.word("word", "piece", lick=lick, number=piece.number)
            yield piece.id, lick if alone else told

    def note(self, event: Event, piece: Piece) -> dict[str, str]:
        """A note of a piece as texts: what it is, and where."""
        return {"note": self.say.short(event.sound), "at": self.at(event, piece)}

    def at(self, event: Event, piece: Piece) -> str:
        """Where a note falls, with its bar unless the whole piece lies in it."""
        where = self.say.place(event.beat)
        first, last = piece.events[0], piece.events[-1]
        if (first.chorus, first.bar) == (last.chorus, last.bar):
            return where
        bar = self.bar(event, piece)["bar"]
        return self.say.wording.word("place", "in-bar", where=where, bar=bar)

    def bar(self, event: Event, piece: Piece) -> dict[str, str]:
        """The bar of a note as texts; its chorus is said where the piece began in another."""
        bar = self.say.bar(event, chorus=event.chorus != piece.events[0].chorus)
        return {"bar": bar, "Bar": bar[:1].upper() + bar[1:]}

    def counted(self, word: str, count: int) -> str:
        """`once`, `twice`, `three times`; `one note`, `two notes`."""
        words = self.say.wording.words["word"]
        if f"{word}-{count}" in words:
            return str(words[f"{word}-{count}"])
        name = f"{word}-n" if f"{word}-n" in words else word
        return self.say.wording.word("word", name, count=self.say.number(count))
