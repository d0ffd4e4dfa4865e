"""A lesson as plain text: what there is to learn, piece by piece, and how hard each is.

Conventions: at most WIDTH columns; tab in letters; bars as people count.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from textwrap import wrap

from reedwright.harp.position import position_name
from reedwright.lesson.alike import Kind
from reedwright.lesson.difficulty import Difficulty
from reedwright.lesson.pieces import Piece
from reedwright.lesson.repeats import Relation
from reedwright.lesson.study import LickStudy, PieceStudy, Study
from reedwright.tune.events import Event
from reedwright.tune.findings import spoken_beat
from reedwright.tune.tokens import format_sound

WIDTH = 79

_LIKE = {
    Kind.IDENTICAL: "the same as {other}",
    Kind.ONE_NOTE: "{other} with one note changed",
    Kind.ONE_BAR: "{other} with one bar changed",
    Kind.NEARLY: "nearly {other}",
    Kind.OPENING: "begins like {other}",
    Kind.ENDING: "ends like {other}",
    Kind.RHYTHM: "the rhythm of {other}",
    Kind.CONTOUR: "goes up and down like {other}",
}


def lesson_text(study: Study) -> str:
    """The outline of a lesson. Linear in its notes."""
    tune = study.score.tune
    names = dict(_names(study))
    lines = [
        f"{tune.title}: {tune.harp.name} harp, {position_name(tune.position)}, {tune.key_name}",
        _hard("Difficulty", study.difficulty),
        _tempos(study),
        "",
    ]
    for lick in study.licks:
        lines += _lick(lick, study.pieces_of(lick.line.slug), names)
    silent = [line.lick for line in study.cutting.lines if not line.events]
    if silent:
        lines.append(f"Not taught, since nothing of it sounds: {', '.join(silent)}.")
    if not study.licks:
        lines.append("Nothing sounds in this tune, so there is nothing to learn yet.")
    return "\n".join(line for part in lines for line in wrap(part, WIDTH) or [""]).rstrip() + "\n"


def _names(study: Study) -> Iterator[tuple[str, str]]:
    """What each lick and each piece is called, by its id."""
    for lick in study.licks:
        yield lick.line.slug, lick.line.lick
    for piece in study.pieces:
        yield piece.piece.id, f"{piece.piece.lick} {piece.piece.number}"


def _tempos(study: Study) -> str:
    steps = [f"{float(step.tempo_bpm):g} ({step.number:.0f})" for step in study.ladder.steps]
    said = "as the tune says" if study.ladder.own else "from what is hard in it"
    many = len(steps) > 1
    return f"Practise at {', '.join(steps)} beats a minute{f', {said}' * many}."


def _lick(lick: LickStudy, pieces: Iterable[PieceStudy], names: dict[str, str]) -> Iterator[str]:
    placings = lick.line.placings
    times = {1: "", 2: ", placed twice"}.get(placings, f", placed {placings} times")
    yield _hard(f"{lick.line.lick}{times}. Difficulty", lick.difficulty)
    yield from (f"   {said}" for said in _likes(lick.relations, names))
    for piece in pieces:
        yield f"  {piece.piece.number}. {_tab(piece.piece.events)}"
        yield f"     {_about(piece, names)}"
    yield ""


def _about(study: PieceStudy, names: dict[str, str]) -> str:
    piece, work = study.piece, study.practice
    said = [f"from {_place(piece)}", f"difficulty {study.difficulty.number:.0f}"]
    said += _likes(study.relations, names)
    if work.fresh < 1:
        said.append(f"{100 * work.fresh:.0f} % new")
    return "; ".join(said)


def _place(piece: Piece) -> str:
    first = piece.events[0]
    chorus = f"chorus {first.chorus} " if first.chorus > 1 else ""
    return f"{chorus}bar {first.bar}, beat {spoken_beat(first.beat)}"


def _likes(relations: Iterable[Relation], names: dict[str, str]) -> list[str]:
    return [
        _LIKE[relation.kind].format(other=names.get(relation.earlier, relation.earlier))
        for relation in relations
    ]


def _tab(events: Iterable[Event]) -> str:
    return " ".join(format_sound(event.sound) for event in events)


def _hard(what: str, difficulty: Difficulty) -> str:
    parts = [f"{part.name} {part.share:.0f}" for part in difficulty.parts if round(part.share)]
    inside = f" ({', '.join(parts)})" if parts else ""
    return f"{what} {difficulty.number:.0f} of 100{inside}"
