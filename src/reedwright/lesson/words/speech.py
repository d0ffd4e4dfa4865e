"""A lesson in sentences: what a teacher says about every piece of a tune.

Conventions: a sentence names its pattern (the template it was made from) and the facts it states.
Of twenty pieces in a row no pattern is heard in more than `MOST`; where a kind has no way left the
fact is left out, and notes are joined to the sentence before. Which way is chosen is keyed by the
id of the piece, so an edit changes little elsewhere.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from random import Random
from typing import Any

from reedwright.lesson.pieces import Piece
from reedwright.lesson.study import PieceStudy, Study
from reedwright.lesson.words.beginning import begin, of_tune
from reedwright.lesson.words.fact import Context, Fact
from reedwright.lesson.words.faults import faults
from reedwright.lesson.words.likeness import alike
from reedwright.lesson.words.listing import Clause, clauses, listing
from reedwright.lesson.words.manner import air, breathing, manner
from reedwright.lesson.words.reasons import reasons
from reedwright.lesson.words.vocabulary import Vocabulary
from reedwright.lesson.words.wording import LANGUAGE, Template, Wording, wording
from reedwright.tune.events import Event

PIECES, MOST = 20, 3
"""In so many pieces in a row, and how often a pattern may be heard in them."""

NEAR = 2
"""Pieces back in which a pattern is not taken again, if there is another (from memory)."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """One thing that is said. `pattern`: the template, `facts`: what it states, as plain values."""

    text: str
    pattern: str
    facts: Mapping[str, Any]
    event_ids: tuple[str, ...]

    @property
    def kind(self) -> str:
        """What it speaks of: `role.landing`."""
        return self.pattern.rpartition(".")[0]


@dataclass(frozen=True, slots=True)
class TuneWords:
    """All that is said of a tune: sentences by the id of a piece, words for each note by its."""

    language: str
    pieces: Mapping[str, tuple[Sentence, ...]]
    notes: Mapping[str, str]

    def texts(self) -> dict[str, list[str]]:
        """The plain sentences by the id of their piece."""
        return {name: [one.text for one in said] for name, said in self.pieces.items()}


def tune_words(
    study: Study, *, tempo_bpm: Fraction | None = None, language: str = LANGUAGE
) -> TuneWords:
    """What is said of every piece, with no pattern heard too often. Linear in the notes.

    `tempo_bpm`: that of the breathing plan, the tune's full one when it is None. Errors:
    SettingError for a language there is no file for, or for faults in the tune's `Lungs:` line.
    """
    words = wording(language)
    context = Context(study, tempo_bpm or study.score.tune.full_tempo_bpm, words)
    speaker = Speaker(context)
    pieces = {one.piece.id: speaker.said(one) for one in study.pieces}
    return TuneWords(words.language, pieces, _notes(study.score.events, context.say))


def piece_words(
    study: Study, piece_study: PieceStudy, tempo_bpm: Fraction, words: Wording
) -> tuple[Sentence, ...]:
    """What is said of one piece by itself, whatever was said of the others."""
    return Speaker(Context(study, tempo_bpm, words)).said(piece_study)


def event_words(event: Event, words: Wording | None = None) -> str:
    """A note as a caption has it: `4 draw, half-step bend`."""
    return Vocabulary(words or wording(), compound=False).caption(event.sound)


def _notes(events: Iterable[Event], vocabulary: Vocabulary) -> dict[str, str]:
    """Captions by the ids of their notes; a lick comes again, so each sound is put once."""
    known: dict[int, str] = {}  # by identity: the score holds them
    for event in events:
        if id(event.sound) not in known:
            known[id(event.sound)] = vocabulary.caption(event.sound)
    return {event.id: known[id(event.sound)] for event in events}


class Speaker:
    """Speaks of the pieces of one tune in their order, and remembers what was heard."""

    def __init__(self, context: Context) -> None:
        self._context = context
        self._heard: deque[Counter[str]] = deque(maxlen=PIECES - 1)
        self._recent: Counter[str] = Counter()
        self._now: Counter[str] = Counter()
        self._before: Piece | None = None
        self._id = ""

    def said(self, study: PieceStudy) -> tuple[Sentence, ...]:
        """All sentences about a piece, in the order in which they are spoken."""
        piece, context = study.piece, self._context
        self._id, self._now = piece.id, Counter()
        out: list[Sentence] = []
        if context.study.pieces[0] is study:
            out += self._each(of_tune(piece, context))
        likeness = alike(study, context)
        out += self._each([likeness] if likeness else [])
        out += self._each([begin(piece, context)])
        self._list(piece, out)
        out += self._each(manner(piece, self._same_lick(piece), context))
        out += self._one(reasons(piece, context))
        breaths = list(self._each(breathing(piece, context)))
        out += breaths or self._each(air(piece, context))
        out += self._one(faults(piece, context))
        self._remember(piece)
        return tuple(out)

    def _same_lick(self, piece: Piece) -> Piece | None:
        """The piece before, if it is of the same lick."""
        before = self._before
        return before if before is not None and before.slug == piece.slug else None

    def _one(self, facts: Iterable[Fact]) -> Iterator[Sentence]:
        """The first of several facts that there is still a way to say."""
        for fact in facts:
            template = self._way(fact.kind)
            if template is not None:
                yield _sentence(template, fact)
                return

    def _each(self, facts: Iterable[Fact]) -> Iterator[Sentence]:
        """Every fact that there is still a way to say."""
        for fact in facts:
            yield from self._one((fact,))

    def _list(self, piece: Piece, out: list[Sentence]) -> None:
        """The notes, sentence by sentence."""
        for number, clause in enumerate(clauses(piece.events, self._context.say)):
            notes = listing(clause, self._context.say)
            kind = f"next.{clause.step.value}" if number else "first.first"
            template = self._way(kind)
            filled = self._context.bar(clause.first, piece) | {"notes": notes}
            if template is not None:
                out.append(_sentence(template, Fact(kind, {"ids": clause.ids}, filled, clause.ids)))
            else:
                out[-1] = _longer(out[-1], notes, clause, self._context.say.wording)

    def _way(self, kind: str) -> Template | None:
        """A way to say a kind of thing that has not been heard too often."""
        ways = self._context.say.wording.ways(kind)
        free = [
            way for way in ways if self._recent[way.pattern] < MOST and not self._now[way.pattern]
        ]
        near = [self._heard[-back] for back in range(1, min(NEAR, len(self._heard)) + 1)]
        fresh = [way for way in free if not any(way.pattern in heard for heard in near)]
        if not free:
            return None
        turn = Random(f"{self._id}|{kind}|{len(self._now)}")  # noqa: S311 (no secret)
        chosen = turn.choice(fresh or free)
        self._now[chosen.pattern] += 1
        return chosen

    def _remember(self, piece: Piece) -> None:
        if len(self._heard) == self._heard.maxlen:
            self._recent -= self._heard[0]
        self._heard.append(self._now)
        self._recent += self._now
        self._before = piece


def _sentence(template: Template, fact: Fact) -> Sentence:
    text = template.text.format(**fact.filled)
    return Sentence(text, template.pattern, fact.values, fact.event_ids)


def _longer(before: Sentence, notes: str, clause: Clause, words: Wording) -> Sentence:
    """A sentence with more notes at its end: there was no other way left to go on."""
    text = before.text.rstrip(".") + words.word("word", "then") + notes + "."
    ids = before.event_ids + clause.ids
    return Sentence(text, before.pattern, {"ids": ids}, ids)
