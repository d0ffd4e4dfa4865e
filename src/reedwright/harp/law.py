"""The law of the two reeds: what a hole can sound beside its two natural notes.

The higher reed of a hole bends down to a semitone above the lower one: max(0, |draw − blow| − 1)
whole semitones. The other reed, opened from the wrong side, sounds the overbend a semitone above
the higher reed: an overblow where the draw reed is the higher, an overdraw where the blow reed is.
Half-valved, the bends stay, the lower reed gives about a semitone by itself, overbends are lost.
With every reed valved (a slide harp) each reed gives about a semitone by itself [from memory].
Source: common practice; for the two-reed mechanism see Bahnson, Antaki & Beery, JASA 103(4), 1998.
"""

from __future__ import annotations

from reedwright.harp.note import MAX_BEND, Breath, TabNote
from reedwright.harp.tuning import Tuning, Valves

VALVED_BEND = 1
"""Semitones a reed bends when the other reed of its hole is sealed (common practice: about one)."""


def higher_breath(tuning: Tuning, hole: int) -> Breath | None:
    """The breath whose reed sounds higher in this hole; None when both sound the same."""
    gap = tuning.offset(hole, Breath.DRAW) - tuning.offset(hole, Breath.BLOW)
    return None if gap == 0 else Breath.DRAW if gap > 0 else Breath.BLOW


def bend_limit(tuning: Tuning, hole: int, breath: Breath) -> int:
    """How many whole semitones this natural note bends down."""
    gap = abs(tuning.offset(hole, Breath.DRAW) - tuning.offset(hole, Breath.BLOW))
    if tuning.valves is Valves.ALL:
        return VALVED_BEND
    if higher_breath(tuning, hole) is breath:
        return min(max(0, gap - 1), MAX_BEND)
    return VALVED_BEND if tuning.valves is Valves.HALF and gap else 0


def overbend_breath(tuning: Tuning, hole: int) -> Breath | None:
    """The breath that overbends this hole, None where no overbend exists."""
    higher = higher_breath(tuning, hole)
    if higher is None or tuning.valves is not Valves.NONE:
        return None
    return higher.other


def offset_of(tuning: Tuning, note: TabNote) -> int:
    """Semitones above the key note of any note, bent or overbent; the note must exist."""
    if note.over:
        return tuning.offset(note.hole, note.breath.other) + 1 + note.button
    return tuning.offset(note.hole, note.breath) - note.bend + note.button


def why_not(tuning: Tuning, note: TabNote) -> str:
    """Why a note cannot be played on this layout; empty when it can."""
    if note.hole > tuning.holes:
        return f"this harp has holes 1 to {tuning.holes}"
    if note.button and not tuning.button:
        return "only a slide harp has a button"
    if note.over and overbend_breath(tuning, note.hole) is not note.breath:
        return _why_no_overbend(tuning, note)
    limit = bend_limit(tuning, note.hole, note.breath)
    if note.bend <= limit:
        return ""
    name = f"{note.hole} {note.breath.word}"
    if limit == 0:
        return f"{name} does not bend on this harp"
    return f"{name} bends {limit} semitone{'s' * (limit > 1)} at most on this harp"


def _why_no_overbend(tuning: Tuning, note: TabNote) -> str:
    if tuning.valves is not Valves.NONE:
        return "valves take the overbends away"
    breath = overbend_breath(tuning, note.hole)
    if breath is None:
        return f"hole {note.hole} has no overbend"
    return f"hole {note.hole} has an over{breath.word}, not an over{note.breath.word}"


def notes_of_hole(tuning: Tuning, hole: int) -> tuple[TabNote, ...]:
    """Every note of a hole: blow, its bends, draw, its bends, overbend; then with the button."""
    notes: list[TabNote] = []
    over = overbend_breath(tuning, hole)
    for button in (False, True)[: 1 + tuning.button]:
        for breath in Breath:
            limit = bend_limit(tuning, hole, breath)
            notes += [TabNote(hole, breath, bend, button=button) for bend in range(limit + 1)]
        notes += [] if over is None else [TabNote(hole, over, over=True, button=button)]
    return tuple(notes)
