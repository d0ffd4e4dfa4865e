"""What is usually got wrong in a piece: signatures of its notes, the gravest first.

Conventions: a signature is a fact of the score (a bend of a whole step, a leap over four holes);
that it is usually got wrong is from memory, as is the order.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from reedwright.harp.note import Breath, TabNote
from reedwright.lesson.pieces import Piece
from reedwright.lesson.words.fact import HELD_BEATS, Context, Fact
from reedwright.tune.events import Event

LEAP_HOLES = 4
"""Holes from note to note of a jump that is often missed (from memory)."""


def faults(piece: Piece, context: Context) -> Iterator[Fact]:
    """What is usually got wrong; the last is true wherever there is a single note."""
    if piece.events[0].id.partition(":")[2].startswith("0.") and piece.events[0].beat > 1:
        yield _fault("pickup", piece.events[:1])
    for event in piece.events:
        kind = _kind(event)
        if kind:
            yield _fault(kind, (event,), context.note(event, piece))
    yield from _between(piece)
    yield from _of_all(piece, context.tune.meter.compound)
    for event in piece.events:
        if len(event.sound.reeds) == 1:
            yield _fault("single", (event,), context.note(event, piece))


def _kind(event: Event) -> str:
    """What is usually got wrong with a note by itself; empty for nothing in particular."""
    sound = event.sound
    if sound.shake is not None:
        return "shake"
    if len(sound.notes) > 1:
        holes = [note.hole for note in sound.notes]
        return "split" if holes[-1] - holes[0] >= len(holes) else "chord"
    held = event.length >= HELD_BEATS
    return _bend_kind(sound.notes[0], held) or ("held" if held else "")


def _bend_kind(note: TabNote, held: bool) -> str:
    if note.over:
        return "over"
    if not note.bend:
        return ""
    if held:
        return "held-bend"
    if note.breath is Breath.BLOW:
        return "blow-bend"
    return "deep-bend" if note.bend > 1 else "half-bend"


def _between(piece: Piece) -> Iterator[Fact]:
    for before, after in pairwise(piece.events):
        if len(before.sound.reeds) > 1 or len(after.sound.reeds) > 1:
            continue
        here, there = before.sound.notes[0], after.sound.notes[0]
        same = (here.hole, here.breath) == (there.hole, there.breath)
        if same and here.bend and there.bend and here.bend != there.bend:
            yield _fault("two-bends", (before, after))
        if abs(here.hole - there.hole) >= LEAP_HOLES:
            said = {"first": str(here.hole), "second": str(there.hole)}
            yield _fault("leap", (before, after), said)
        if here == there and before.end == after.start:
            yield _fault("repeated", (before, after))


def _of_all(piece: Piece, compound: bool) -> Iterator[Fact]:
    off = tuple(event for event in piece.events if event.beat.denominator == 2)
    if len(off) > 1 and not compound:
        yield _fault("offbeat", off)


def _fault(kind: str, events: tuple[Event, ...], filled: dict[str, str] | None = None) -> Fact:
    ids = tuple(event.id for event in events)
    return Fact(f"fault.{kind}", {"ids": ids}, filled or {}, ids)
