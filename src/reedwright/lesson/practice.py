"""How much work a piece is, given what of it is known already.

Conventions: effort in notes: an easy note that is quite new is 1. With w the freshness of each note
(1 for a new one, or the least that any relation covering it leaves, from `data/lesson.toml`) and D
the difficulty of the piece, 0 to 100:

    effort = Σ w · (1 + D / harder-by)

So a further relation never raises the effort, and a harder piece is never less work.
Source: from memory; that known material takes less practice is common practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from reedwright.lesson.repeats import Relation
from reedwright.lesson.shape import Unit


@dataclass(frozen=True, slots=True)
class Practice:
    """The work on one unit: `new_notes` is Σ w, `notes` how many it has, `effort` as above."""

    id: str
    notes: int
    new_notes: float
    effort: float

    @property
    def fresh(self) -> float:
        """How much of it is new, 0 to 1."""
        return self.new_notes / self.notes


def practice(
    unit: Unit, relations: Iterable[Relation], number: float, fresh: Mapping[str, float]
) -> Practice:
    """The work on a unit of difficulty `number`; relations of other units are not looked at."""
    left = dict.fromkeys((event.id for event in unit.events), 1.0)
    for relation in relations:
        if relation.later == unit.id:
            weight = fresh[relation.kind.value]
            for _, note in relation.pairs:
                left[note] = min(left[note], weight)
    new_notes = sum(left.values())
    effort = new_notes * (1.0 + number / fresh["harder-by"])
    return Practice(unit.id, len(left), new_notes, effort)


def practices(
    units: Sequence[Unit],
    relations: Iterable[Relation],
    numbers: Sequence[float],
    fresh: Mapping[str, float],
) -> tuple[Practice, ...]:
    """The work on each of many units, `numbers` being their difficulties. Linear."""
    leading: dict[str, list[Relation]] = {}
    for relation in relations:
        leading.setdefault(relation.later, []).append(relation)
    return tuple(
        practice(unit, leading.get(unit.id, ()), number, fresh)
        for unit, number in zip(units, numbers, strict=True)
    )
