"""What is usually got wrong in a piece: signatures of its notes, the gravest first.

Conventions: a signature is a fact of the score (a bend of a whole step, a leap over four holes);
that it is usually got wrong is from memory, as is the order.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from reedwright.harp.note import Breath
from reedwright.lesson.pieces import Piece
from reedwright.lesson.words.facts import HELD_BEATS, Fact, Facts
from reedwright.tune.events import Event

LEAP_HOLES = 4
"""Holes from edge to edge of a jump that is often missed (from memory)."""


def faults(piece: Piece, facts: Facts) -> Iterator[Fact]:
    """What is usually got wrong; the last is true wherever there is a single note."""
    if piece.events[0].bar == 0:
        yield _fault("pickup", piece.events[:1])
    for event in piece.events:
        yield from _of_note(event, facts)
    yield from _between(piece)
    yield from _of_all(piece)
    single = next((one for one in piece.events if len(one.sound.reeds) == 1), None)
    if single is not None:
        yield _fault("single", (single,), facts.note(single))


def _of_note(event: Event, facts: Facts) -> Iterator[Fact]:
    sound, filled = event.sound, facts.note(event)
    first = sound.notes[0]
    if sound.shake is not None:
        yield _fault("shake", (event,))
    elif len(sound.notes) > 1:
        holes = [note.hole for note in sound.notes]
        split = holes[-1] - holes[0] >= len(holes)
        yield _fault("split" if split else "chord", (event,))
    elif first.over:
        yield _fault("over", (event,), filled)
    elif first.bend and event.length >= HELD_BEATS:
        yield _fault("held-bend", (event,), filled)
    elif first.bend and first.breath is Breath.BLOW:
        yield _fault("blow-bend", (event,), filled)
    elif first.bend:
        yield _fault("deep-bend" if first.bend > 1 else "half-bend", (event,), filled)
    elif event.length >= HELD_BEATS:
        yield _fault("held", (event,), filled)


def _between(piece: Piece) -> Iterator[Fact]:
    for before, after in pairwise(piece.events):
        low, high = before.sound.reeds[0], after.sound.reeds[0]
        if low.bend and high.bend and low.hole == high.hole and low.bend != high.bend:
            yield _fault("two-bends", (before, after))
        if abs(low.hole - high.hole) >= LEAP_HOLES:
            holes = sorted((low.hole, high.hole))
            said = {"low": str(holes[0]), "high": str(holes[1])}
            yield _fault("leap", (before, after), said)
        if before.sound.reeds == after.sound.reeds and before.end == after.start:
            yield _fault("repeated", (before, after))


def _of_all(piece: Piece) -> Iterator[Fact]:
    off = tuple(event for event in piece.events if event.beat.denominator == 2)
    if len(off) > 1:
        yield _fault("offbeat", off)


def _fault(kind: str, events: tuple[Event, ...], filled: dict[str, str] | None = None) -> Fact:
    ids = tuple(event.id for event in events)
    return Fact(f"fault.{kind}", {"ids": ids}, filled or {}, ids)
