"""Why a note of a piece matters: what it is to the chord under it.

Conventions: roles as in the harmony room, told in the wording's own terms; chords by name and by
their place in the key. A note outside the chord is given no reason.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from reedwright.harmony.roles import Role, Tone
from reedwright.harmony.tones import EventHarmony
from reedwright.lesson.pieces import Piece
from reedwright.lesson.words.fact import Context, Fact
from reedwright.tune.chords import Chord
from reedwright.tune.events import Event

_NUMERAL = re.compile(r"([b#]?)([ivIV]+)")
_SIGNS = {"b": "flat", "#": "sharp"}
_BLUE = {"b3": "blue-3", "b5": "blue-5", "b7": "blue-7"}


def reasons(piece: Piece, context: Context) -> Iterator[Fact]:
    """Why notes matter, the weightiest first; the last is true of every piece."""
    rows = [context.harmony[event.id] for event in piece.events]
    named = [why(row, context) for row in rows]
    told = list(zip(piece.events, rows, named, strict=True))
    for event, row, reason in told:
        if row.landing and reason and all(tone is not None and tone.in_chord for tone in row.tones):
            yield _reason("landing", event, reason, piece, context)
    lengths = sorted((event.length for event in piece.events), reverse=True)
    for event, _, reason in told:
        if reason and len(lengths) > 1 and event.length == lengths[0] > lengths[1]:
            yield _reason("longest", event, reason, piece, context)
    if named[-1]:
        kind = "last" if len(rows[-1].tones) == 1 else "chord-tones"
        yield _reason(kind, piece.events[-1], named[-1], piece, context)
    last = piece.events[-1]
    yield Fact("role.plain-last", {"id": last.id}, context.note(last, piece), (last.id,))


def _reason(kind: str, event: Event, reason: str, piece: Piece, context: Context) -> Fact:
    filled = context.note(event, piece) | {"why": reason}
    return Fact(f"role.{kind}", {"id": event.id, "why": reason}, filled, (event.id,))


def why(row: EventHarmony, context: Context) -> str:
    """`the root of E7, the one chord`; empty where there is nothing good to say."""
    tones = [tone for tone in row.tones if tone is not None]
    if row.chord is None or len(tones) < len(row.tones):
        return ""
    word = context.say.wording.word
    if len(tones) == 1:
        return _single(tones[0], row.chord, context)
    if not all(tone.in_chord for tone in tones):
        return ""
    roles = list(dict.fromkeys(word("role-name", tone.role.value) for tone in tones))
    return word("chord", "tone", role=context.say.listed(roles), chord=_chord(row.chord, context))


def _single(tone: Tone, chord: Chord, context: Context) -> str:
    word = context.say.wording.word
    if tone.outside or tone.role is Role.SCALE:
        return ""
    if tone.role is Role.BLUE:
        return word("chord", "blue", role=word("role-name", _BLUE[tone.degree]))
    kind = "tone" if tone.in_chord else "colour"
    role = word("role-name", tone.role.value)
    return word("chord", kind, role=role, chord=_chord(chord, context))


def _chord(chord: Chord, context: Context) -> str:
    word, tune = context.say.wording.word, context.tune
    found = _NUMERAL.match(chord.degree(tune.key))
    name = chord.name(tune.fifths)
    if found is None:
        return name
    degree = word("degree", found[2].upper())
    if found[1]:
        degree = word("degree", _SIGNS[found[1]], degree=degree)
    return word("chord", "named", name=name, degree=degree)
