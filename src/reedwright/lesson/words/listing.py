"""The notes of a piece in words: values and holes in order, so exact that they can be read back.

Conventions: notes that follow one another without a rest and have one named length are told
together ("three eighths, 2 draw, 3 draw and 4 draw"); what repeats at once is counted ("4 draw
twice"). A sentence holds at most `GROUPS` such groups and ends at a bar line.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import groupby

from reedwright.lesson.words.vocabulary import Vocabulary
from reedwright.tune.events import Event

GROUPS = 4
"""Groups in a sentence that can still be followed (from memory)."""


class Step(StrEnum):
    """How a sentence goes on from the one before."""

    SAME_BAR = "same-bar"
    NEW_BAR = "new-bar"
    FAR_BAR = "far-bar"


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
    """What one sentence lists. `lead`: the silence before its first note, as much of it as the bar
    of that note has; `tail`: the silence after its last note, up to that bar."""

    groups: tuple[Group, ...]
    step: Step
    lead: Fraction
    tail: Fraction

    @property
    def first(self) -> Event:
        return self.groups[0].events[0]

    @property
    def ids(self) -> tuple[str, ...]:
        return tuple(event.id for group in self.groups for event in group.events)


def clauses(events: Sequence[Event], vocabulary: Vocabulary) -> tuple[Clause, ...]:
    """The notes of a piece, sentence by sentence."""
    runs: list[list[Group]] = []
    for group in _groups(events, vocabulary):
        crossed = not runs or _bar(group.events[0]) != _bar(runs[-1][-1].events[-1])
        if crossed or len(runs[-1]) == GROUPS:
            runs.append([])
        runs[-1].append(group)
    leads = [_lead(run[0]) for run in runs]
    tails = [run[0].rest - lead for run, lead in zip(runs[1:], leads[1:], strict=True)]
    return tuple(
        Clause(tuple(run), _step(runs[number - 1] if number else run, run), lead, tail)
        for number, (run, lead, tail) in enumerate(
            zip(runs, leads, [*tails, Fraction(0)], strict=True)
        )
    )


def _lead(group: Group) -> Fraction:
    """How much of the silence before a group lies in its own bar."""
    return min(group.rest, group.events[0].beat - 1)


def _step(before: Sequence[Group], run: Sequence[Group]) -> Step:
    """From the last note of one run to the first of the next."""
    last, first = before[-1].events[-1], run[0].events[0]
    if _bar(last) == _bar(first):
        return Step.SAME_BAR
    follows = _bar(first) == (last.chorus, last.bar + 1)
    return Step.NEW_BAR if follows else Step.FAR_BAR


def listing(clause: Clause, vocabulary: Vocabulary) -> str:
    """`a quarter on 4 draw, then two eighths, 4 blow and 4 draw`."""
    parts: list[str] = []
    for number, group in enumerate(clause.groups):
        rest = group.rest if number else clause.lead
        parts += [vocabulary.rest(rest)] if rest else []
        parts.append(_said(group, vocabulary))
    parts += [vocabulary.rest(clause.tail)] if clause.tail else []
    return vocabulary.wording.word("word", "then").join(parts)


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
