"""What repeats what: for each lick or piece, where it has been learned already, and how much.

Conventions: units come in the order in which they are learned; a relation leads from an earlier one
to a later one and names notes by the ids of their events. A unit has at most one relation of each
kind: the one with the most notes, of equals the earliest, and of identical units only the first is
ever led back to. `shift_beats`: how much later in the bar the later one begins.

How it stays fast: identical units, the same rhythm and the same contour are looked up; for the
others a unit is compared with at most COMPARED earlier ones, those that share most of: the first
two notes, the last two, a bar, three notes in a row; each of these remembers the KEPT latest units
that have it. A shared opening or ending, and one note changed, cannot be missed but by that bound;
what is nearly the same without three notes in a row or an end in common is not looked for.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from reedwright.harp.harp import Harp
from reedwright.lesson.alike import (
    WHOLE,
    Kind,
    Match,
    contour_match,
    rhythm_match,
    shared_ends,
    whole_match,
)
from reedwright.lesson.lines import LickLine
from reedwright.lesson.pieces import Piece
from reedwright.lesson.shape import Note, Shape, Shapes, Unit
from reedwright.tune.ticks import beats_of

KEPT = 8
"""Units that a clue leads to (from memory: more are variations of these)."""

COMPARED = 8
"""Earlier units a unit is compared with note for note (from memory)."""

MOST_CLUES = 256
"""Notes of a unit from which runs of three are taken; nobody learns longer ones in one go."""


@dataclass(frozen=True, slots=True)
class Relation:
    """The later unit is like the earlier one. `pairs`: (earlier, later) ids of the notes that
    correspond; `changed` and `dropped`: the ids of the later and of the earlier one's notes that
    have no such partner. `holes`: see `alike.Match`."""

    kind: Kind
    earlier: str
    later: str
    pairs: tuple[tuple[str, str], ...]
    changed: tuple[str, ...]
    dropped: tuple[str, ...]
    shift_beats: Fraction
    holes: int | None = None

    @property
    def share(self) -> Fraction:
        """How much of the later one corresponds, 0 to 1, in notes."""
        return Fraction(len(self.pairs), len(self.pairs) + len(self.changed))


def units_of(things: Iterable[LickLine | Piece]) -> tuple[Unit, ...]:
    """Licks (by slug) or pieces (by the id of their first note) as units; licks without notes have
    nothing to compare and are left out."""
    return tuple(
        Unit(thing.id if isinstance(thing, Piece) else thing.slug, thing.events)
        for thing in things
        if thing.events
    )


def repeats(units: Sequence[Unit], harp: Harp, bar_beats: int) -> tuple[Relation, ...]:
    """What each unit has in common with earlier ones, unit by unit, kind by kind as in `Kind`.

    Near linear in the notes: see the bounds above. Errors: none.
    """
    return repeats_of(units, Shapes(harp, bar_beats))


def repeats_of(units: Sequence[Unit], shapes: Shapes) -> tuple[Relation, ...]:
    """The same, with shapes that other units of the tune have been made with."""
    index = _Index()
    found: list[Relation] = []
    for unit in units:
        shape = shapes.of(unit)
        found += [_relation(match, other, shape) for match, other in index.best(shape)]
        index.learn(shape)
    return tuple(found)


_Found = tuple[Match, Shape]


class _Index:
    """The units learned so far, found by what a new one may share with them."""

    def __init__(self) -> None:
        self._whole: dict[Hashable, Shape] = {}
        self._rhythm: dict[Hashable, Shape] = {}
        self._contour: dict[Hashable, Shape] = {}
        self._clues: dict[Hashable, deque[int]] = {}
        self._shapes: list[Shape] = []

    def learn(self, shape: Shape) -> None:
        """Remember a unit, unless one just like it is known."""
        if shape.notes in self._whole:
            return
        self._whole[shape.notes] = shape
        self._rhythm.setdefault(shape.rhythm, shape)
        self._contour.setdefault(shape.contour, shape)
        for clue in _clues(shape):
            self._clues.setdefault(clue, deque(maxlen=KEPT)).append(len(self._shapes))
        self._shapes.append(shape)

    def best(self, shape: Shape) -> Iterator[_Found]:
        """The best match of each kind, with the unit it is with."""
        same = self._whole.get(shape.notes)
        if same is not None:
            match = whole_match(same, shape)
            yield from [(match, same)] if match else []
            return
        yield from self._near(shape)
        looked_up = (
            (rhythm_match, self._rhythm.get(shape.rhythm)),
            (contour_match, self._contour.get(shape.contour)),
        )
        for match_of, other in looked_up:
            found = match_of(other, shape) if other is not None else None
            if found is not None and other is not None:
                yield found, other

    def _near(self, shape: Shape) -> list[_Found]:
        others = self._candidates(shape)
        wholes = [(found, other) for other in others if (found := whole_match(other, shape))]
        if wholes:  # the first kind that holds, as much of it as there is
            return [min(wholes, key=lambda one: (WHOLE.index(one[0].kind), -len(one[0].pairs)))]
        ends = [(match, other) for other in others for match in shared_ends(other, shape)]
        best: dict[Kind, _Found] = {}
        for match, other in ends:
            known = best.get(match.kind)
            if known is None or len(match.pairs) > len(known[0].pairs):
                best[match.kind] = (match, other)
        return [best[kind] for kind in (Kind.OPENING, Kind.ENDING) if kind in best]

    def _candidates(self, shape: Shape) -> list[Shape]:
        """The earlier units with the most clues in common, in the order learned."""
        votes: Counter[int] = Counter()
        for clue in _clues(shape):
            votes.update(self._clues.get(clue, ()))
        most = sorted(votes, key=lambda place: (-votes[place], place))[:COMPARED]
        return [self._shapes[place] for place in sorted(most)]


def _clues(shape: Shape) -> set[Hashable]:
    """What a unit shares with those that may be like it."""
    notes = shape.notes[:MOST_CLUES]
    clues: set[Hashable] = {("first", notes[:2]), ("last", _plain(shape.notes[-2:]))}
    if 2 <= len(shape.bars) <= MOST_CLUES:
        clues.update(("bar", place, bar) for place, bar in enumerate(shape.bars) if bar)
    clues.update(_plain(notes[place : place + 3]) for place in range(len(notes) - 2))
    return clues


def _plain(notes: tuple[Note, ...]) -> tuple[Note, ...]:
    """Notes without the silence before the first."""
    return ((*notes[0][:2], 0), *notes[1:])


def _relation(match: Match, earlier: Shape, later: Shape) -> Relation:
    ids = [event.id for event in earlier.unit.events], [event.id for event in later.unit.events]
    paired = {one for one, _ in match.pairs}, {other for _, other in match.pairs}
    left = [
        tuple(name for place, name in enumerate(names) if place not in done)
        for names, done in zip(ids, paired, strict=True)
    ]
    return Relation(
        kind=match.kind,
        earlier=earlier.unit.id,
        later=later.unit.id,
        pairs=tuple((ids[0][one], ids[1][other]) for one, other in match.pairs),
        changed=left[1],
        dropped=left[0],
        shift_beats=beats_of(later.phase - earlier.phase),
        holes=match.holes,
    )
