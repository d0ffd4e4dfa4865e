"""What there is to say about a piece: facts, each of a kind that the wording has sentences for.

Conventions: a fact names its kind (`role.landing`), the plain values it states, the texts its
sentence is filled with and the notes it is about. Facts are true of the score; nothing is said that
is not one. What is usually got wrong, and where: from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from typing import Any

from reedwright.breath.of_tune import breath_plan_marks
from reedwright.harmony.tones import EventHarmony, tones
from reedwright.harp.note import Breath
from reedwright.lesson.pieces import Piece
from reedwright.lesson.repeats import Relation
from reedwright.lesson.study import PieceStudy, Study
from reedwright.lesson.words.vocabulary import Vocabulary
from reedwright.tune.events import Event
from reedwright.tune.place import Score

HELD_BEATS = Fraction(2)
"""A note this long is a held one, as for the cuts (from memory)."""


@dataclass(frozen=True, slots=True)
class Fact:
    """Something to say. `kind`: `section.kind` of the wording; `values`: what it states."""

    kind: str
    values: Mapping[str, Any]
    filled: Mapping[str, str]
    event_ids: tuple[str, ...] = field(default=())


class Facts:
    """The facts of one tune's pieces."""

    def __init__(self, study: Study, vocabulary: Vocabulary) -> None:
        self._study, self._say = study, vocabulary
        self._score: Score = study.score
        self._names = dict(self._named())

    @cached_property
    def _harmony(self) -> dict[str, EventHarmony]:
        score = self._score
        return {event.id: row for event, row in zip(score.events, tones(score), strict=True)}

    @cached_property
    def _breaths(self) -> dict[str, str]:
        """`in` or `out` by the id of the note after which the plan breathes, at full tempo."""
        tempo_bpm = self._score.tune.full_tempo_bpm
        return {mark.id: mark.direction for mark in breath_plan_marks(self._score, tempo_bpm)}

    def _named(self) -> Iterator[tuple[str, str]]:
        """What each piece is called: its lick's name where that has no other piece."""
        word = self._say.wording.word
        counts: dict[str, int] = {}
        for study in self._study.pieces:
            counts[study.piece.slug] = counts.get(study.piece.slug, 0) + 1
        for study in self._study.pieces:
            piece = study.piece
            alone = counts[piece.slug] == 1
            name = word("word", "piece", lick=piece.lick, number=piece.number)
            yield piece.id, piece.lick if alone else name.rstrip(",")

    def begin(self, piece: Piece) -> Fact:
        """Where it starts in the count, and what is counted before it."""
        first, beats = piece.events[0], self._score.tune.meter.beats
        before = (
            beats if first.beat == 1 else -(-first.beat.numerator // first.beat.denominator) - 1
        )
        kind = "pickup" if first.bar == 0 else "on-one" if first.beat == 1 else "later"
        count = ", ".join(str(beat) for beat in range(1, before + 1))
        values = {"beat": str(first.beat), "bar": first.bar, "counted": before}
        return Fact(f"begin.{kind}", values, self._at(first) | {"count": count}, (first.id,))

    def alike(self, study: PieceStudy) -> Fact | None:
        """The likeness that saves most work, if there is one."""
        if not study.relations:
            return None
        relation: Relation = study.relations[0]
        count = self._say.wording.word("word", "notes", count=self._say.number(len(relation.pairs)))
        values = {"other": relation.earlier, "notes": len(relation.pairs)}
        filled = {"other": self._names[relation.earlier], "notes": count}
        ids = tuple(later for _, later in relation.pairs)
        return Fact(f"alike.{relation.kind.value}", values, filled, ids)

    def roles(self, piece: Piece) -> Iterator[Fact]:
        """Why a note matters, the weightiest first; the last is true of every piece."""
        landing = next((one for one in piece.events if self._harmony[one.id].landing), None)
        if landing is not None:
            yield from self._role("landing", landing)
        lengths = sorted((event.length for event in piece.events), reverse=True)
        longest = max(piece.events, key=lambda event: event.length)
        if len(lengths) > 1 and lengths[0] > lengths[1] and longest is not landing:
            yield from self._role("longest", longest)
        yield from self._role("last", piece.events[-1])
        last = piece.events[-1]
        yield Fact("role.plain-last", {"id": last.id}, self._note(last), (last.id,))

    def _role(self, kind: str, event: Event) -> Iterator[Fact]:
        lead = self._harmony[event.id].lead
        if lead is not None:
            filled = self._note(event) | {"why": lead.why}
            yield Fact(f"role.{kind}", {"id": event.id, "why": lead.why}, filled, (event.id,))

    def air(self, piece: Piece) -> Iterator[Fact]:
        """Where to breathe, and how the breath runs."""
        for event in piece.events:
            way = self._breaths.get(event.id)
            if way is not None:
                yield Fact(f"air.breathe-{way}", {"id": event.id}, self._note(event), (event.id,))
                break
        ways = [event.sound.breath for event in piece.events]
        ids = tuple(event.id for event in piece.events)
        if len(ways) > 1 and len(set(ways)) == 1:
            kind = "all-draw" if ways[0] is Breath.DRAW else "all-blow"
            yield Fact(f"air.{kind}", {"notes": len(ways)}, {}, ids)
        turns = sum(before is not after for before, after in pairwise(ways))
        if turns > 1:
            yield Fact("air.turns", {"turns": turns}, {"times": self._times(turns)}, ids)

    def _times(self, count: int) -> str:
        word = self._say.wording.word
        if count == 2:
            return word("word", "times-2")
        return word("word", "times-n", count=self._say.number(count))

    def manner(self, piece: Piece, before: Piece | None) -> Iterator[Fact]:
        """Hands and loudness, where they are not what they were."""
        for section, name in (("hands", "cup"), ("force", "loudness")):
            said = [getattr(event, name).value for event in piece.events]
            changed = next((at for at, one in enumerate(said) if one != said[0]), None)
            ids = tuple(event.id for event in piece.events)
            if changed is not None:
                event = piece.events[changed]
                values = {"before": said[0], "after": said[changed], "id": event.id}
                filled = self._note(event) | {"before": said[0], "after": said[changed]}
                yield Fact(f"{section}.change", values, filled, ids)
            elif before is None or getattr(before.events[-1], name).value != said[0]:
                yield Fact(f"{section}.{said[0].replace(' ', '-')}", {name: said[0]}, {}, ids)

    def _at(self, event: Event) -> dict[str, str]:
        bar = self._say.bar(event)
        return {
            "where": self._say.place(event.beat),
            "bar": bar,
            "Bar": bar[:1].upper() + bar[1:],
        }

    def _note(self, event: Event) -> dict[str, str]:
        return self._at(event) | {"note": self._say.tab(event.sound)}

    def note(self, event: Event) -> dict[str, str]:
        """A note with its place, as texts."""
        return self._note(event)

    def bar(self, event: Event) -> dict[str, str]:
        """The bar of a note, as texts."""
        return {name: text for name, text in self._at(event).items() if name != "where"}
