"""An answer as JSON, schema `reedwright.fit/1`.

Conventions: `choices` best first; `tab` in letters whatever the sheet prints, null for a note left
out, several notes joined by `+`. `cost` is in points. Keys are names; beats are counted beats. The
first choice's further tabs are `tabs`, rows of the same kind.
"""

from __future__ import annotations

from typing import Any

from reedwright.fit.answer import Answer, Judged
from reedwright.fit.costs import POINT
from reedwright.fit.verdict import in_words
from reedwright.harp.pitch import harp_key

SCHEMA = "reedwright.fit/1"


def answer_json(answer: Answer) -> dict[str, Any]:
    """The whole answer, ready for `json.dumps`."""
    return {
        "schema": SCHEMA,
        "melody": _melody(answer),
        "choices": [_row(judged) for judged in answer.choices],
        "tabs": [_row(judged) for judged in answer.tabs],
    }


def _melody(answer: Answer) -> dict[str, Any]:
    reading = answer.reading
    melody = reading.melody
    return {
        "title": melody.title,
        "part": reading.part,
        "notes": len(melody.notes),
        "bars": melody.bar_count,
        "meter": str(melody.meter),
        "feel": melody.feel.name,
        "tempo_bpm": float(melody.tempo_bpm),
        "key": None if melody.key is None else harp_key(melody.key) + " minor" * melody.minor,
        "lowest_midi": melody.lowest,
        "highest_midi": melody.highest,
        "chords": any(melody.bars),
        "sure": reading.sure,
        "sure_words": reading.sure_words,
        "remarks": list(reading.remarks),
    }


def _row(judged: Judged) -> dict[str, Any]:
    choice, counted = judged.choice, judged.verdict
    return {
        "harp": choice.harp.as_json(),
        "position": choice.position,
        "key": harp_key(choice.key),
        "shift_semitones": choice.shift_semitones,
        "cost": choice.cost / POINT,
        "notes": counted.notes,
        "natural": counted.natural,
        "bends": counted.bends,
        "overbends": counted.overbends,
        "unreachable": counted.unreachable,
        "folded": len(choice.folded),
        "turns": counted.turns,
        "leap_holes": counted.leap,
        "breath_ok": choice.breath_ok,
        "margin_l": None if counted.margin_l is None else round(counted.margin_l, 2),
        "chord_tones": counted.chord_tones,
        "over_chords": counted.over_chords,
        "tried": choice.tried,
        "verdict": in_words(choice, counted),
        "tab": [token or None for token in choice.tab],
    }
