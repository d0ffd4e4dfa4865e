"""A lesson in sentences: what a teacher says about every piece of a tune.

Conventions: a sentence names its pattern (the template it was made from) and the facts it states.
Of twenty pieces in a row no pattern is heard in more than `MOST` (but where a kind has too few ways
the fact is left out, or joined to the sentence before). Which way is chosen is keyed by the id of
the piece, so an edit changes little elsewhere.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from random import Random
from typing import Any

from reedwright.lesson.study import PieceStudy, Study
from reedwright.lesson.words.facts import Fact, Facts
from reedwright.lesson.words.faults import faults
from reedwright.lesson.words.listing import Clause, clauses, listing
from reedwright.lesson.words.vocabulary import Vocabulary
from reedwright.lesson.words.wording import LANGUAGE, Template, Wording, wording

PIECES, MOST = 20, 3
"""In so many pieces in a row, and how often a pattern may be heard in them."""

NEAR = 2
"""Pieces back in which a pattern is not taken again, if there is another."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """One thing that is said. `values`: the facts it states, as plain values."""

    text: str
    pattern: str
    values: Mapping[str, Any]
    event_ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Speech:
    """All that is said of a tune: sentences by the id of a piece, words for each note."""

    language: str
    pieces: Mapping[str, tuple[Sentence, ...]]
    notes: Mapping[str, str]

    def texts(self) -> dict[str, list[str]]:
        """The plain sentences by the id of their piece."""
        return {name: [one.text for one in said] for name, said in self.pieces.items()}


def speech(study: Study, language: str = LANGUAGE) -> Speech:
    """What is said of every piece. Linear in the notes. Errors: SettingError for a language."""
    words = wording(language)
    tune = study.score.tune
    choruses = len(study.score.order.chorus_starts)
    vocabulary = Vocabulary(words, compound=tune.meter.compound, choruses=choruses)
    speaker = _Speaker(study, vocabulary, words)
    pieces = {one.piece.id: tuple(speaker.said(one)) for one in study.pieces}
    notes = {event.id: vocabulary.event(event) for event in study.score.events}
    return Speech(words.language, pieces, notes)


class _Speaker:
    """Speaks of the pieces of one tune in their order."""

    def __init__(self, study: Study, vocabulary: Vocabulary, words: Wording) -> None:
        self._facts, self._vocabulary, self._words = Facts(study, vocabulary), vocabulary, words
        self._heard: deque[Counter[str]] = deque(maxlen=PIECES - 1)
        self._recent: Counter[str] = Counter()
        self._before: PieceStudy | None = None
        self._now: Counter[str] = Counter()
        self._id = ""

    def said(self, study: PieceStudy) -> list[Sentence]:
        piece = study.piece
        before, self._before = self._before, study
        self._id, self._now = piece.id, Counter()
        out: list[Sentence] = []
        out += self._one([self._facts.begin(piece)])
        alike = self._facts.alike(study)
        out += self._one([alike] if alike else [])
        self._list(clauses(piece.events, self._vocabulary), out)
        for fact in self._facts.manner(piece, before.piece if before else None):
            out += self._one([fact])
        out += self._one(self._facts.roles(piece))
        out += self._one(self._facts.air(piece))
        out += self._one(faults(piece, self._facts))
        self._remember()
        return out

    def _one(self, facts: Iterator[Fact] | list[Fact]) -> Iterator[Sentence]:
        """The first of several facts that there is still a way to say."""
        for fact in facts:
            template = self._way(fact.kind)
            if template is not None:
                yield _sentence(template, fact)
                return

    def _list(self, parts: tuple[Clause, ...], out: list[Sentence]) -> None:
        for number, clause in enumerate(parts):
            notes = listing(clause, self._vocabulary)
            kind = "first.first" if not number else f"next.{_where(clause)}"
            template = self._way(kind)
            filled = self._facts.bar(clause.first) | {"notes": notes}
            fact = Fact(kind, {"ids": clause.ids}, filled, clause.ids)
            if template is not None:
                out.append(_sentence(template, fact))
            else:
                out[-1] = _longer(out[-1], notes, clause, self._words)

    def _way(self, kind: str) -> Template | None:
        """A way to say a kind of thing that has not been heard too often."""
        ways = list(self._words.ways(kind))
        Random(f"{self._id}|{kind}|{sum(self._now.values())}").shuffle(ways)
        near = self._now + sum(list(self._heard)[-NEAR:], Counter())
        free = [way for way in ways if self._recent[way.pattern] < MOST]
        free = [way for way in free if not self._now[way.pattern]]
        fresh = [way for way in free if not near[way.pattern]]
        chosen = next(iter(fresh or free), None)
        if chosen is not None:
            self._now[chosen.pattern] += 1
        return chosen

    def _remember(self) -> None:
        if len(self._heard) == self._heard.maxlen:
            self._recent -= self._heard[0]
        self._heard.append(self._now)
        self._recent += self._now


def _where(clause: Clause) -> str:
    return "new-bar" if clause.new_bar else "same-bar"


def _sentence(template: Template, fact: Fact) -> Sentence:
    text = template.text.format(**fact.filled)
    return Sentence(text, template.pattern, fact.values, fact.event_ids)


def _longer(before: Sentence, notes: str, clause: Clause, words: Wording) -> Sentence:
    """A sentence with more notes at its end: there was no other way left to go on."""
    text = before.text.rstrip(".") + words.word("word", "then") + notes + "."
    ids = before.event_ids + clause.ids
    return Sentence(text, before.pattern, {"ids": ids}, ids)
