"""The hands around the harp: open, closed, moving with the beat, wah and hand vibrato.

Conventions: 0 closed, 1 open. A moving cup is closed on every beat and open in the middle of it,
in step with the count and not with the notes, so it runs on through them. A wah starts closed at
its note, opens and closes at its rate, once a beat where none is marked. A hand vibrato leaves the
place where the hands rest and comes back to it. From one note to the next the hands need a moment:
a note begins where they are. Figures from memory, in `habits`.
"""

from __future__ import annotations

from fractions import Fraction

from reedwright.performance import habits
from reedwright.performance.note import Note
from reedwright.performance.playing import Curve
from reedwright.performance.sways import Sway, per_second, rate_hz, vibrato
from reedwright.tune.marks import Cup, MarkKind


def cup_line(note: Note) -> Curve:
    """How open the hands are over the note."""
    rest, swings = _plan(note)
    move_s = min(habits.CUP_MOVE_S, note.length_s / 2)
    wanted = _at(0.0, rest, swings)
    missing = 0.0 if note.hands is None else (note.hands - wanted) * _still_to_go(note.rest_s)
    times_s = {0.0, *(time_s for sway, _ in swings for time_s in sway.times_s())}
    times_s |= {move_s} if missing else set()
    rising = sorted(times_s)
    values = (_at(t, rest, swings) + missing * max(0.0, 1 - t / move_s) for t in rising)
    return Curve(tuple(rising), tuple(min(1.0, max(0.0, value)) for value in values))


def _still_to_go(rest_s: float) -> float:
    """Share of their way that the hands have not gone in a rest."""
    return 1 - min(1.0, rest_s / habits.CUP_MOVE_S)


def _plan(note: Note) -> tuple[float, list[tuple[Sway, float]]]:
    """Where the hands rest, and what swings away from there by how much."""
    rest = habits.OPENNESS[note.event.cup]
    swings: list[tuple[Sway, float]] = []
    wah, hand = note.marks.get(MarkKind.WAH), note.marks.get(MarkKind.HAND)
    if wah is not None:
        rest = 0.0
        hz = rate_hz(wah, note.beat_s, habits.WAH_PER_BEAT / note.beat_s)
        swings.append((Sway(hz, 0.0, note.length_s), 1.0))
    elif note.event.cup is Cup.MOVING:
        hz = per_second(Fraction(0), note.beat_s, habits.WAH_PER_BEAT / note.beat_s)
        phase = hz * note.onset_s % 1.0
        swings.append((Sway(hz, 0.0, note.length_s, phase=phase), 1.0))
    if hand is not None:
        depth = -habits.HAND_DEPTH if rest == 1.0 else habits.HAND_DEPTH
        hz = rate_hz(hand, note.beat_s, habits.VIBRATO_HZ)
        swings.append((vibrato(hz, 0.0, note.length_s), depth))
    return rest, swings


def _at(time_s: float, rest: float, swings: list[tuple[Sway, float]]) -> float:
    return rest + sum(depth * sway.at(time_s) for sway, depth in swings)
