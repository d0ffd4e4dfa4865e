"""A report as JSON, schema `reedwright.check/1`.

Conventions: lists of an event (`tab`, `midi`, `degree`, `chord_degree`, `role`, `why`) go reed by
reed in the order of `tab`; a reed the harp does not have holds null in all but `tab`, and
`chord_degree` is null where no chord is known. Tab is in letters whatever the file's own notation.
Beats count from 1 in the bar, lengths are counted beats, both unswung: a decimal for people, and
exact as text.
"""

from __future__ import annotations

from typing import Any

from reedwright.check.check import Report
from reedwright.harmony.roles import Tone
from reedwright.harmony.tones import EventHarmony
from reedwright.tune.events import Event
from reedwright.tune.findings import decimal_beat

SCHEMA = "reedwright.check/1"


def report_json(report: Report) -> dict[str, Any]:
    """The whole report, ready for `json.dumps`."""
    score, tune = report.score, report.score.tune
    rows = zip(score.events, report.tones, report.playable, strict=True)
    return {
        "schema": SCHEMA,
        "title": tune.title,
        "harp": tune.harp.as_json(),
        "position": tune.position,
        "key": tune.key_name,
        "bars": score.bars,
        "tempos_bpm": [_number(float(tempo)) for tempo in tune.tempos_bpm],
        "events": [_event(report, event, row, fine) for event, row, fine in rows],
        "findings": [finding.as_json() for finding in report.findings],
    }


def _event(report: Report, event: Event, row: EventHarmony, fine: bool) -> dict[str, Any]:
    fifths = report.score.tune.fifths
    return {
        "id": event.id,
        "chorus": event.chorus,
        "lick": event.lick,
        "bar": event.bar,
        "beat": decimal_beat(event.beat),
        "beat_exact": str(event.beat),
        "length_beats": decimal_beat(event.length),
        "length_exact": str(event.length),
        "tab": [str(note) for note in event.sound.reeds],
        "shake": event.sound.shake is not None,
        "marks": [
            {"mark": mark.kind.word, "amount": decimal_beat(mark.amount)}
            for mark in event.sound.marks
        ],
        "playable": fine,
        "chord": None if row.chord is None else row.chord.name(fifths),
        "landing": row.landing,
        "passing": row.passing,
        **_reeds(row.tones),
        "cup": event.cup.value,
        "loudness": event.loudness.value,
        "line": event.line,
        "column": event.column,
    }


def _reeds(tones: tuple[Tone | None, ...]) -> dict[str, list[Any]]:
    return {
        "midi": [tone and tone.midi for tone in tones],
        "degree": [tone and tone.degree for tone in tones],
        "chord_degree": [(tone and tone.chord_degree) or None for tone in tones],
        "role": [tone and tone.role.value for tone in tones],
        "why": [tone and tone.why for tone in tones],
    }


def _number(value: float) -> float | int:
    return int(value) if value.is_integer() else value
