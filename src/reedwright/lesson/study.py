"""A tune as something to learn: all that the lesson room knows of it, in one go.

Conventions: see the modules this gathers. Everything is at the tune's full tempo; pieces and licks
have their numbers in the same order as they stand in `cutting`.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from reedwright.lesson.cuts import Cuts
from reedwright.lesson.demands import Asking
from reedwright.lesson.difficulty import Difficulty, difficulty_at
from reedwright.lesson.ladder import TempoLadder, ladder_for
from reedwright.lesson.lines import LickLine
from reedwright.lesson.pieces import Cutting, Piece, cut_tune
from reedwright.lesson.practice import Practice, practices
from reedwright.lesson.repeats import Relation, repeats_of, units_of
from reedwright.lesson.settings import LessonTable, lesson_table
from reedwright.lesson.shape import Shapes
from reedwright.tune.findings import Finding
from reedwright.tune.place import Score

_NO_CUTS = Cuts()


@dataclass(frozen=True, slots=True)
class LickStudy:
    """A lick that sounds: how hard it is, and what of it an earlier lick has."""

    line: LickLine
    difficulty: Difficulty
    relations: tuple[Relation, ...]


@dataclass(frozen=True, slots=True)
class PieceStudy:
    """A piece: how hard it is, what of it an earlier piece has, and the work that is left."""

    piece: Piece
    difficulty: Difficulty
    relations: tuple[Relation, ...]
    practice: Practice


@dataclass(frozen=True, slots=True)
class Study:
    """`licks` without those that never sound (see `cutting.lines` for all); `findings` are about
    cuts the teacher moved."""

    score: Score
    cutting: Cutting
    difficulty: Difficulty
    ladder: TempoLadder
    licks: tuple[LickStudy, ...]
    pieces: tuple[PieceStudy, ...]

    @property
    def findings(self) -> tuple[Finding, ...]:
        return self.cutting.findings

    def pieces_of(self, slug: str) -> tuple[PieceStudy, ...]:
        return tuple(study for study in self.pieces if study.piece.slug == slug)


def study(
    score: Score,
    cuts: Cuts = _NO_CUTS,
    *,
    level: str | None = None,
    table: LessonTable | None = None,
) -> Study:
    """Take a tune apart. Near linear in its notes.

    `level` sets the size of pieces, the tune's own student when it is None. Errors: SettingError
    for faults in a teacher's own tables.
    """
    table = table or lesson_table()
    cutting = cut_tune(score, cuts, level=level, table=table)
    asking = Asking(score.tune, table)
    shapes = Shapes(score.tune.harp, score.tune.meter.beats)
    whole = asking.of(score.events)
    full = score.tune.full_tempo_bpm
    return Study(
        score=score,
        cutting=cutting,
        difficulty=difficulty_at(whole, full, table),
        ladder=ladder_for(score.tune, whole, table),
        licks=_licks(cutting, asking, shapes, full),
        pieces=_pieces(cutting, asking, shapes, full),
    )


def _licks(
    cutting: Cutting, asking: Asking, shapes: Shapes, tempo_bpm: Fraction
) -> tuple[LickStudy, ...]:
    lines = [line for line in cutting.lines if line.events]
    found = repeats_of(units_of(lines), shapes)
    by_lick = _by_later(found)
    return tuple(
        LickStudy(line, _difficulty(line, asking, tempo_bpm), by_lick.get(line.slug, ()))
        for line in lines
    )


def _pieces(
    cutting: Cutting, asking: Asking, shapes: Shapes, tempo_bpm: Fraction
) -> tuple[PieceStudy, ...]:
    units = units_of(cutting.pieces)
    found = repeats_of(units, shapes)
    by_piece = _by_later(found)
    hard = [_difficulty(piece, asking, tempo_bpm) for piece in cutting.pieces]
    numbers = [difficulty.number for difficulty in hard]
    work = practices(units, found, numbers, asking.table["fresh"])
    return tuple(
        PieceStudy(piece, difficulty, by_piece.get(piece.id, ()), left)
        for piece, difficulty, left in zip(cutting.pieces, hard, work, strict=True)
    )


def _difficulty(thing: LickLine | Piece, asking: Asking, tempo_bpm: Fraction) -> Difficulty:
    return difficulty_at(asking.of(thing.events), tempo_bpm, asking.table)


def _by_later(relations: tuple[Relation, ...]) -> dict[str, tuple[Relation, ...]]:
    found: dict[str, tuple[Relation, ...]] = {}
    for relation in relations:
        found[relation.later] = (*found.get(relation.later, ()), relation)
    return found
