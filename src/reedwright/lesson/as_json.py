"""A lesson as plain values, schema `reedwright.lesson/1`: what the student's page is made from.

Conventions: seconds from the first sample of the count-in, `score_s` exact and `played_s` with the
player's own timing; fractions as text; what belongs to each sounding reed is a list in the order of
`tab`, null for a reed the harp does not have. Bars count for people (`bar`), and from 0 at bar 1 of
the first chorus (`index`; its pickup is -1). See `study` for pieces and likenesses, the check's own
JSON for degrees and chords. What other rooms know (recordings, plan) comes in as plain values.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import Any

from reedwright.breath.lungs import CAUTION
from reedwright.harp.harp import Harp
from reedwright.harp.note import TabNote
from reedwright.harp.position import position_name
from reedwright.lesson.difficulty import Difficulty
from reedwright.lesson.event_json import event_rows
from reedwright.lesson.repeats import Relation
from reedwright.lesson.study import LickStudy, PieceStudy, Study
from reedwright.lesson.timing_json import tempo_json
from reedwright.performance.marking import thresholds_for
from reedwright.tune.findings import decimal_beat
from reedwright.tune.form import ChordSpan
from reedwright.tune.order import Placement
from reedwright.tune.place import Score
from reedwright.tune.tune import Tune

SCHEMA = "reedwright.lesson/1"
CAUTIONS = (
    CAUTION,
    "Begin with the sound turned down, on headphones above all, and rest your ears between rounds.",
    "A harp is for one mouth: do not share it.",
)
"""From memory, common practice."""

Words = Mapping[str, Sequence[str]]
"""Sentences by the id of what they are about: a piece, an event."""


def lesson_json(
    study: Study,
    *,
    tempos_bpm: Iterable[Fraction] = (),
    seed: int = 0,
    piece_words: Words | None = None,
    event_words: Mapping[str, str] | None = None,
    more: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """The whole lesson, ready for `json.dumps`. Linear in notes and bars.

    `tempos_bpm`: those the recordings are made at, the tune's own where none are given; `seed`:
    that of the recordings; `more`: further values of the schema (recordings, plan, takes), kept as
    they are. Errors: SettingError for faults in a teacher's own tables, or for a tempo nobody can
    count; TuneError for notes the harp lacks.
    """
    score = study.score
    tune = score.tune
    tempos = tuple(tempos_bpm) or tune.tempos_bpm
    return {
        "schema": SCHEMA,
        "language": "en",
        **_about(tune),
        "difficulty": _difficulty(study.difficulty),
        "ladder": [
            {"tempo_bpm": _number(step.tempo_bpm), "difficulty": round(step.number, 1)}
            for step in study.ladder.steps
        ],
        "form": _form(tune),
        "choruses": _choruses(score),
        "licks": [_lick(study, lick, piece_words or {}) for lick in study.licks],
        "events": event_rows(score, event_words),
        "tempos": [tempo_json(score, tempo, seed) for tempo in tempos],
        "notes": [_note(tune.harp, note) for note in tune.harp.notes()],
        "marking": {"level": tune.student, **thresholds_for(tune.student).as_json()},
        "cautions": list(CAUTIONS),
        **(more or {}),
    }


def map_json(score: Score) -> dict[str, Any]:
    """The form and its choruses alone, for a view that draws them while the tune is written."""
    return {"form": _form(score.tune), "choruses": _choruses(score)}


def _about(tune: Tune) -> dict[str, Any]:
    meter = tune.meter
    return {
        "title": tune.title,
        "by": tune.by,
        "school": tune.school,
        "rights": tune.rights,
        "level": tune.student,
        "remarks": list(tune.remarks),
        "harp": tune.harp.as_json(),
        "harp_name": tune.harp.name,
        "position": tune.position,
        "position_name": position_name(tune.position),
        "key": tune.key_name,
        "meter": {"text": str(meter), "beats": meter.beats, "compound": meter.compound},
        "feel": tune.feel.name,
        "count_in_bars": tune.count_in_bars,
    }


def _form(tune: Tune) -> dict[str, Any]:
    bars = [
        {"bar": number, "chords": [_chord(tune, span) for span in tune.form.spans(number)]}
        for number in range(1, len(tune.form.bars) + 1)
    ]
    return {"name": tune.form.name, "bars": bars}


def _chord(tune: Tune, span: ChordSpan) -> dict[str, Any]:
    return {
        "beat": decimal_beat(span.start + 1),
        "name": span.chord.name(tune.fifths),
        "degree": span.chord.degree(tune.key),
    }


def _choruses(score: Score) -> list[dict[str, Any]]:
    """Every chorus with its bars, and the licks that sound in each."""
    heard: dict[int, dict[str, None]] = {}
    beats = score.tune.meter.beats
    slugs = {full.lick.name: slug for slug, full in score.tune.licks.items()}
    for event in score.events:
        heard.setdefault(int(event.start // beats), {})[slugs[event.lick]] = None
    found: list[dict[str, Any]] = []
    for index in range(-1 if score.has_pickup else 0, score.bars):
        chorus, bar = score.order.place_of(index)
        if not found or found[-1]["chorus"] != chorus:
            found.append({"chorus": chorus, "bars": []})
        row = {"bar": bar, "index": index, "licks": list(heard.get(index, {}))}
        found[-1]["bars"].append(row)
    return found


def _lick(study: Study, lick: LickStudy, words: Words) -> dict[str, Any]:
    line, score = lick.line, study.score
    full = score.tune.licks[line.slug].lick
    first = line.events[0]
    return {
        "name": line.lick,
        "slug": line.slug,
        "cup": first.cup.value,
        "loudness": first.loudness.value,
        "remarks": list(full.remarks),
        "placed": [
            _placed(score, placement)
            for placement in score.order.placements
            if placement.lick is not None and placement.lick.lick.slug == line.slug
        ],
        "event_ids": [event.id for event in line.events],
        "difficulty": _difficulty(lick.difficulty),
        "relations": [_relation(relation) for relation in lick.relations],
        "pieces": [_piece(piece, words) for piece in study.pieces_of(line.slug)],
    }


def _placed(score: Score, placement: Placement) -> dict[str, int]:
    """Where a lick is placed, its own pickup aside, and how many bars of it sound there."""
    begin = placement.start + max(placement.first - placement.base, 0)
    chorus, bar = score.order.place_of(begin)
    return {"chorus": chorus, "bar": bar, "index": begin, "bars": max(placement.end - begin, 1)}


def _piece(found: PieceStudy, words: Words) -> dict[str, Any]:
    piece = found.piece
    return {
        "id": piece.id,
        "number": piece.number,
        "event_ids": [event.id for event in piece.events],
        "beats": str(piece.beats),
        "stops": [stop.value for stop in piece.stops],
        "difficulty": _difficulty(found.difficulty),
        "effort": round(found.practice.effort, 2),
        "new_notes": round(found.practice.new_notes, 2),
        "relations": [_relation(relation) for relation in found.relations],
        "words": list(words.get(piece.id, ())),
    }


def _difficulty(difficulty: Difficulty) -> dict[str, Any]:
    parts = {part.name: round(part.share, 2) for part in difficulty.parts}
    return {"number": round(difficulty.number, 1), "parts": parts}


def _relation(relation: Relation) -> dict[str, Any]:
    return {
        "kind": relation.kind.value,
        "other": relation.earlier,
        "notes": len(relation.pairs),
        "changed": list(relation.changed),
    }


def _note(harp: Harp, note: TabNote) -> dict[str, Any]:
    return {
        "tab": str(note),
        "hole": note.hole,
        "breath": note.breath.value,
        "bend": note.bend,
        "over": note.over,
        "button": note.button,
        "midi": harp.midi(note),
        "hertz": round(harp.hertz(note), 3),
    }


def _number(value: Fraction) -> int | float:
    return int(value) if value.denominator == 1 else float(value)
