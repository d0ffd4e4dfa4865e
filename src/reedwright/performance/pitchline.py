"""The pitch of a note while it sounds: scoop, dip or slur; throat vibrato; fall.

Conventions: cents from the target, never outside what the hole can give: a dip into, or a fall off,
a note that bends less is as deep as the note allows. Figures from memory, in `habits`.
"""

from __future__ import annotations

from reedwright.performance.habits import (
    BENT_SCOOP_CENTS,
    SCOOP_CENTS,
    THROAT_CENTS,
)
from reedwright.performance.note import Note
from reedwright.performance.playing import Attack, Curve
from reedwright.performance.sways import Points, curve, eased
from reedwright.tune.marks import MarkKind


def pitch_line(note: Note) -> Curve:
    """Cents from the target over the note."""
    points = eased(0.0, note.glide_s, _start_cents(note), 0.0)
    points += _throat(note)
    fall = note.marks.get(MarkKind.FALL)
    if fall is not None:
        _, before = points[-1]
        deepest = max(-100.0 * float(fall.amount), note.low_cents)
        points += eased(note.fall_start_s, note.length_s, before, min(deepest, before))
    return curve(points)


def _start_cents(note: Note) -> float:
    """Where the pitch begins."""
    dip = note.marks.get(MarkKind.DIP)
    if note.attack is Attack.SLUR:
        start = note.from_cents
    elif dip is not None:
        start = -100.0 * float(dip.amount)
    else:
        start = -(BENT_SCOOP_CENTS if note.bent else SCOOP_CENTS) * note.loose[1]
    return max(note.low_cents, min(note.high_cents, start))


def _throat(note: Note) -> Points:
    sway = note.throat
    if sway is None:
        return []
    depth = min(THROAT_CENTS, -note.low_cents)
    return [(time_s, -depth * sway.at(time_s)) for time_s in sway.times_s()]
