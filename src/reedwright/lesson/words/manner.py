"""Hands, loudness and breath of a piece.

Conventions: cup and loudness are told with the first piece of a lick and wherever they change; the
breaths are those of the plan of the breath room, told with the note they come after.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from reedwright.harp.note import Breath
from reedwright.lesson.pieces import Piece
from reedwright.lesson.words.fact import Context, Fact


def manner(piece: Piece, before: Piece | None, context: Context) -> Iterator[Fact]:
    """Cup, then loudness. `before`: the piece of the same lick before this one."""
    ids = tuple(event.id for event in piece.events)
    for section, name in (("hands", "cup"), ("force", "loudness")):
        said = [str(getattr(event, name).value) for event in piece.events]
        turns = [at for at in range(1, len(said)) if said[at] != said[at - 1]]
        values = {name: [said[0], *(said[at] for at in turns)]}
        if turns:
            told = ids[:1] + tuple(ids[at] for at in turns)
            changes = context.say.wording.word("word", "then").join(
                context.say.wording.word(
                    "word", "turn", after=said[at], **context.note(piece.events[at], piece)
                )
                for at in turns
            )
            filled = {"before": said[0], "changes": changes}
            yield Fact(f"{section}.change", values, filled, told)
        elif before is None or str(getattr(before.events[-1], name).value) != said[0]:
            yield Fact(f"{section}.{said[0].replace(' ', '-')}", values, {}, ids)


def breathing(piece: Piece, context: Context) -> Iterator[Fact]:
    """Where to breathe in, and where out."""
    for way in ("in", "out"):
        found = [event for event in piece.events if context.breaths.get(event.id) == way]
        spots = [
            context.say.wording.word("word", "spot", **context.note(event, piece))
            for event in found
        ]
        if spots:
            ids = tuple(event.id for event in found)
            filled = {"spots": context.say.listed(spots)}
            yield Fact(f"air.breathe-{way}", {"ids": ids}, filled, ids)


def air(piece: Piece, context: Context) -> Iterator[Fact]:
    """How the breath runs: all one way, or turning."""
    ways = [event.sound.breath for event in piece.events]
    ids = tuple(event.id for event in piece.events)
    turns = sum(before is not after for before, after in pairwise(ways))
    if not turns and len(ways) > 1:
        kind = "all-draw" if ways[0] is Breath.DRAW else "all-blow"
        yield Fact(f"air.{kind}", {"notes": len(ways)}, {}, ids)
    elif turns > 1:
        filled = {"times": context.counted("times", turns)}
        yield Fact("air.turns", {"turns": turns}, filled, ids)
