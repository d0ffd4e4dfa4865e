"""What of a piece was learned before: its first likeness, as a teacher would put it.

Conventions: as in `repeats`; likenesses come from the most to the least that is known already. The
names of notes are told without their marks, which are not compared.
"""

from __future__ import annotations

from reedwright.lesson.alike import Kind
from reedwright.lesson.pieces import Piece
from reedwright.lesson.repeats import Relation
from reedwright.lesson.study import PieceStudy
from reedwright.lesson.words.fact import Context, Fact


def alike(study: PieceStudy, context: Context) -> Fact | None:
    """The likeness that saves most work, if there is one."""
    if not study.relations:
        return None
    relation = study.relations[0]
    kind, filled = _told(relation, study.piece, context)
    values = {
        "kind": relation.kind.value,
        "other": relation.earlier,
        "notes": len(relation.pairs),
        "changed": relation.changed,
        "dropped": relation.dropped,
    }
    ids = tuple(later for _, later in relation.pairs)
    filled |= {
        "other": context.names[relation.earlier],
        "notes": context.counted("notes", len(relation.pairs)),
    }
    return Fact(f"alike.{kind}", values, filled, ids)


def _told(relation: Relation, piece: Piece, context: Context) -> tuple[str, dict[str, str]]:
    """The kind of the wording, and what it is filled with."""
    if relation.kind is Kind.ONE_NOTE:
        return _one_note(relation, piece, context)
    if relation.kind is Kind.RHYTHM and relation.holes:
        word = context.say.wording.word
        holes = context.counted("holes", abs(relation.holes))
        moved = word("word", "higher" if relation.holes > 0 else "lower", holes=holes)
        return "shifted", {"moved": moved}
    if relation.kind is Kind.ONE_BAR:
        changed = frozenset(relation.changed)
        event = next((one for one in piece.events if one.id in changed), None)
        if event is None:  # the bar has lost its notes: they are told as they are
            return "nearly", {}
        return "one-bar", context.bar(event, piece)
    return relation.kind.value, {}


def _one_note(relation: Relation, piece: Piece, context: Context) -> tuple[str, dict[str, str]]:
    say = context.say
    new = context.events[relation.changed[0]] if relation.changed else None
    old = context.events[relation.dropped[0]] if relation.dropped else None
    filled = {} if new is None else {"new": say.short(new.sound), "at": context.at(new, piece)}
    if old is not None:
        filled["old"] = say.short(old.sound)
    if new is None:
        return ("one-dropped" if old is not None else "identical"), filled
    if old is None:
        return "one-added", filled
    same = old.sound.reeds == new.sound.reeds
    return ("one-timed" if same else "one-changed"), filled
