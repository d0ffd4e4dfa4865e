"""How a note follows the one before it, and how long the silence between the two is.

Conventions: seconds. A gap is taken from the end of the earlier note, and never more than a share
of the time between the two onsets. Which gap: see `Join`; lengths from memory, in `habits`.
"""

from __future__ import annotations

from enum import Enum

from reedwright.performance.habits import GAP_SHARE, TONGUE_GAP_S, TURN_GAP_S
from reedwright.performance.values import TimedEvent
from reedwright.tune.marks import MarkKind
from reedwright.tune.values import Sound


class Join(Enum):
    """What happens between a note and the next."""

    APART = "apart"  # a rest between them
    LEGATO = "legato"  # the mouth (or the slide) moves on, the air does not stop
    REPEAT = "repeat"  # a hole of the note before is tongued again
    TURN = "turn"  # the breath turns round
    SLUR = "slur"  # the same hole, bent more or less: one sound goes on


_GAPS_S = {Join.REPEAT: TONGUE_GAP_S, Join.TURN: TURN_GAP_S}
_NEW_START = (MarkKind.DIP, MarkKind.RAKE, MarkKind.SLAP, MarkKind.PULL, MarkKind.ACCENT)
_LETS_GO = (MarkKind.FALL, MarkKind.PULL)


def join_of(before: TimedEvent, after: TimedEvent) -> Join:
    """How `after` follows `before`."""
    if before.end_beats != after.onset_beats:
        return Join.APART
    earlier, later = before.event.sound, after.event.sound
    if earlier.breath is not later.breath:
        return Join.TURN
    if _slurs(earlier, later):
        return Join.SLUR
    chambers = {(note.hole, note.button) for note in earlier.reeds}
    again = any((note.hole, note.button) in chambers for note in later.reeds)
    return Join.REPEAT if again else Join.LEGATO


def _slurs(earlier: Sound, later: Sound) -> bool:
    """One reed bent to another depth, unless a mark asks for a new start or lets the old one go.
    An overbend starts anew: its reed is another one."""
    one, other = earlier.notes[0], later.notes[0]
    return (
        len(earlier.reeds) == len(later.reeds) == 1
        and one.bend != other.bend
        and (one.hole, one.button) == (other.hole, other.button)
        and not (one.over or other.over)
        and not any(mark.kind in _LETS_GO for mark in earlier.marks)
        and not any(mark.kind in _NEW_START for mark in later.marks)
    )


def gap_s(join: Join, between_s: float) -> float:
    """Silence before a note that begins `between_s` after the one before it."""
    return min(_GAPS_S.get(join, 0.0), GAP_SHARE * between_s)
