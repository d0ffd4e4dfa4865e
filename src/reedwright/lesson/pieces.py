"""Licks cut into pieces that a student can hold.

Conventions: a piece is a run of notes of one lick, as placed (see `lines`); its `id` is that of its
first note, so it survives edits elsewhere; `number` counts the pieces of the lick from 1, for
people. Lengths in counted beats, unswung. The cost that is made as small as can be is written down
in `stops` and `cutting`, the sizes in `data/lesson.toml` by the student's level.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from reedwright.lesson.cuts import Cuts
from reedwright.lesson.cutting import CutLine, cheapest_cuts
from reedwright.lesson.lines import LickLine, lick_lines, spans_of
from reedwright.lesson.moved import Wishes, wishes
from reedwright.lesson.settings import LessonTable, lesson_table
from reedwright.lesson.stops import Place, Stop, places_of
from reedwright.tune.events import Event
from reedwright.tune.findings import Finding
from reedwright.tune.place import Score

_NO_CUTS = Cuts()
_NO_WISHES = Wishes()


@dataclass(frozen=True, slots=True)
class Piece:
    """A run of notes to learn in one go. `stops`: why it ends where it does (`Stop.TEACHER` first
    where the teacher says so, `Stop.SIZE` where nothing but its size speaks for it)."""

    lick: str
    slug: str
    number: int
    events: tuple[Event, ...]
    stops: tuple[Stop, ...]

    @property
    def id(self) -> str:
        return self.events[0].id

    @property
    def start(self) -> Fraction:
        """Counted beats from bar 1 of the first chorus, as of its first note."""
        return self.events[0].start

    @property
    def beats(self) -> Fraction:
        """From its first note to the end of its last one."""
        return self.events[-1].end - self.events[0].start


@dataclass(frozen=True, slots=True)
class Cutting:
    """A tune taken apart: its licks, their pieces in order, and what there is to say of cuts that
    the teacher moved."""

    lines: tuple[LickLine, ...]
    pieces: tuple[Piece, ...]
    findings: tuple[Finding, ...]

    def of_lick(self, slug: str) -> tuple[Piece, ...]:
        return tuple(piece for piece in self.pieces if piece.slug == slug)


def cut_tune(
    score: Score,
    cuts: Cuts = _NO_CUTS,
    *,
    level: str | None = None,
    table: LessonTable | None = None,
) -> Cutting:
    """Every lick of a tune in pieces. Linear in its notes.

    `level`: that of the student, the tune's own when it is None. Errors: SettingError for faults in
    a teacher's own table.
    """
    table = table or lesson_table()
    size = table.size(score.tune.student if level is None else level)
    lines = lick_lines(score)
    said, findings = wishes(score, lines, cuts)
    pieces: list[Piece] = []
    for line in lines:
        wish = said.get(line.slug, _NO_WISHES)
        spans = spans_of(line.events)
        places = places_of(line.events, spans, score.tune.meter.beats, table["stop"])
        to_cut = CutLine(*spans, [place.cost for place in places], wish.must, wish.never)
        pieces += _pieces(line, cheapest_cuts(to_cut, size, table["weight"]), places, wish)
    return Cutting(lines, tuple(pieces), findings)


def _pieces(
    line: LickLine, cuts: Sequence[int], places: Sequence[Place], wish: Wishes
) -> Iterator[Piece]:
    if not line.events:
        return
    edges = [0, *cuts, len(line.events)]
    for number, first in enumerate(edges[:-1], 1):
        end = edges[number]
        stops = (Stop.END,) if end == len(line.events) else _stops(end, places, wish)
        yield Piece(line.lick, line.slug, number, line.events[first:end], stops)


def _stops(place: int, places: Sequence[Place], wish: Wishes) -> tuple[Stop, ...]:
    stops = places[place - 1].stops
    if place in wish.must:
        return (Stop.TEACHER, *stops)
    return stops or (Stop.SIZE,)
