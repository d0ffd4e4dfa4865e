"""The notes of a piece in words: values and holes in order, so exact that they can be read back.

Conventions: notes that follow one another without a rest and have one named length are told
together ("three eighths, 2 draw, 3 draw and 4 draw"); what repeats at once is counted ("4 draw
twice"). A sentence holds at most `GROUPS` such groups and ends at a bar line.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from reedwright.lesson.words.vocabulary import Vocabulary
from reedwright.tune.events import Event

GROUPS = 4
"""Groups in a sentence that can still be followed (from memory)."""


@dataclass(frozen=True, slots=True)
class Group:
    """Notes told together; `rest`: the silence before the first of them."""

    events: tuple[Event, ...]
    rest: Fraction

    @property
    def length(self) -> Fraction:
        return self.events[0].length


@dataclass(frozen=True, slots=True)
class Clause:
    """What one sentence lists. `new_bar`: it begins with the first note after a bar line."""

    groups: tuple[Group, ...]
    new_bar: bool

    @property
    def first(self) -> Event:
        return self.groups[0].events[0]

    @property
    def ids(self) -> tuple[str, ...]:
        return tuple(event.id for group in self.groups for event in group.events)


def clauses(events: Sequence[Event], vocabulary: Vocabulary) -> tuple[Clause, ...]:
    """The notes of a piece, sentence by sentence."""
    found: list[Clause] = []
    waiting: list[Group] = []
    fresh = False
    for group in _groups(events, vocabulary):
        first = group.events[0]
        crossed = bool(waiting) and _bar(first) != _bar(waiting[-1].events[-1])
        if waiting and (crossed or len(waiting) == GROUPS):
            found.append(Clause(tuple(waiting), fresh))
            waiting, fresh = [], crossed
        waiting.append(group)
    return (*found, Clause(tuple(waiting), fresh))


def listing(clause: Clause, vocabulary: Vocabulary) -> str:
    """`a quarter on 4 draw, then two eighths, 4 blow and 4 draw`."""
    word = vocabulary.wording.word
    parts: list[str] = []
    for group in clause.groups:
        if group.rest:
            parts.append(word("word", "rest", value=vocabulary.value(group.rest)))
        parts.append(_said(group, vocabulary))
    return word("word", "then").join(parts)


def _said(group: Group, vocabulary: Vocabulary) -> str:
    word = vocabulary.wording.word
    count = len(group.events)
    if count == 1:
        sound = vocabulary.event(group.events[0])
        return word("word", "one", value=vocabulary.value(group.length), sound=sound)
    values = vocabulary.values[group.length][1]
    sounds = vocabulary.listed(list(_counted(group.events, vocabulary)))
    return word("word", "run", count=vocabulary.number(count), values=values, sounds=sounds)


def _counted(events: Sequence[Event], vocabulary: Vocabulary) -> Iterator[str]:
    """The sounds of a run; one that repeats at once is counted."""
    for said, same in groupby(map(vocabulary.event, events)):
        count = len(list(same))
        if count == 1:
            yield said
        elif count == 2:
            yield vocabulary.wording.word("word", "twice", sound=said)
        else:
            number = vocabulary.number(count)
            yield vocabulary.wording.word("word", "times", sound=said, count=number)


def _groups(events: Sequence[Event], vocabulary: Vocabulary) -> Iterator[Group]:
    run: list[Event] = []
    rest = Fraction(0)
    for event in events:
        gap = event.start - run[-1].end if run else Fraction(0)
        if run and not (gap == 0 and _together(run[-1], event, vocabulary)):
            yield Group(tuple(run), rest)
            run, rest = [], gap
        run.append(event)
    yield Group(tuple(run), rest)


def _together(before: Event, event: Event, vocabulary: Vocabulary) -> bool:
    """Whether a note goes on the run of the one before: as long, in the same bar, and its length
    has a name."""
    named = event.length in vocabulary.values
    return named and event.length == before.length and _bar(event) == _bar(before)


def _bar(event: Event) -> tuple[int, int]:
    return event.chorus, event.bar
