"""Tongue and mouth: how a note begins, which holes sound on the way to it, and shakes.

Conventions: seconds from the played onset. A rake passes the natural notes on its way to the
nearest hole of its note and arrives at the onset. A slap lets the holes beside the note sound at
its start, a pull at its end: the holes under the tongue, to the left of a single note (to its right
on hole 1), between the outer holes of a split. Figures from memory, in `habits`.
"""

from __future__ import annotations

from collections.abc import Iterator

from reedwright.harp.harp import Harp
from reedwright.harp.note import TabNote
from reedwright.performance import habits
from reedwright.performance.joins import Join
from reedwright.performance.playing import Attack
from reedwright.performance.sways import per_second
from reedwright.performance.values import TimedEvent
from reedwright.tune.marks import Loudness, MarkKind
from reedwright.tune.values import Sound

_BY_TONGUE = frozenset((MarkKind.SLAP, MarkKind.PULL, MarkKind.BLOCKED))
_ATTACKS = {
    MarkKind.RAKE: Attack.RAKE,
    MarkKind.SLAP: Attack.SLAP,
    MarkKind.PULL: Attack.PULL,
}


def attack_of(timed: TimedEvent, join: Join) -> Attack:
    """How an event begins after the one before it; of several marks the first of the list wins."""
    kinds = {mark.kind for mark in timed.event.sound.marks}
    for kind, attack in _ATTACKS.items():
        if kind in kinds:
            return attack
    if join is Join.SLUR:
        return Attack.SLUR
    gentle = MarkKind.GHOST in kinds or timed.event.loudness is Loudness.VERY_SOFT
    return Attack.BREATH if gentle else Attack.TONGUE


def blocked(sound: Sound) -> bool:
    """Whether the tongue blocks holes: marked, or a split, whose inner holes must be silent."""
    holes = [note.hole for note in sound.notes]
    split = holes[-1] - holes[0] + 1 > len(holes)
    return split or any(mark.kind in _BY_TONGUE for mark in sound.marks)


def raked(sound: Sound, harp: Harp) -> tuple[TabNote, ...]:
    """The natural notes a rake passes, in order."""
    rake = sound.mark(MarkKind.RAKE) if sound.marks else None
    if rake is None:
        return ()
    begin, low, high = int(rake.amount), sound.notes[0].hole, sound.notes[-1].hole
    holes = range(begin, low) if begin < low else range(begin, high, -1)
    return tuple(TabNote(hole, sound.breath) for hole in holes if hole <= harp.holes)


def rake_lead_s(sound: Sound, harp: Harp, between_s: float) -> float:
    """Time a rake takes from the note before, which begins `between_s` earlier."""
    wanted_s = habits.RAKE_STEP_S * len(raked(sound, harp))
    return min(wanted_s, habits.RAKE_SHARE * between_s)


def swept(
    attack: Attack, sound: Sound, harp: Harp, room_s: float, length_s: float
) -> tuple[tuple[float, TabNote], ...]:
    """Holes that sound beside the note and when they begin; `room_s`: silence before the note."""
    if attack is Attack.RAKE:
        return _rake(raked(sound, harp), room_s)
    if attack is Attack.SLAP:
        return tuple((0.0, note) for note in neighbours(sound, harp))
    if attack is Attack.PULL:
        start_s = length_s - min(habits.PULL_S, length_s / 3)
        return tuple((start_s, note) for note in neighbours(sound, harp))
    return ()


def _rake(notes: tuple[TabNote, ...], room_s: float) -> tuple[tuple[float, TabNote], ...]:
    """The last ones, as many as there is time for."""
    fitting = notes[max(0, len(notes) - int(room_s / habits.RAKE_LEAST_S)) :]
    step_s = min(habits.RAKE_STEP_S, room_s / max(1, len(fitting)))
    return tuple((-step_s * (len(fitting) - n), note) for n, note in enumerate(fitting))


def neighbours(sound: Sound, harp: Harp) -> tuple[TabNote, ...]:
    """The natural notes under the tongue, low hole to high."""
    low, high = sound.notes[0].hole, sound.notes[-1].hole
    sounding = {note.hole for note in sound.reeds}
    holes = [hole for hole in range(low + 1, high) if hole not in sounding]
    if not holes:
        holes = [hole for hole in range(low - habits.NEIGHBOURS, low) if hole >= 1]
    if not holes:
        holes = [
            high + step for step in range(1, habits.NEIGHBOURS + 1) if high + step <= harp.holes
        ]
    return tuple(TabNote(hole, sound.breath) for hole in holes if hole not in sounding)


def switches_s(sound: Sound, length_s: float, beat_s: float) -> tuple[float, ...]:
    """When a shake changes to its other hole and back: in equal steps, which do not swing; without
    a rate whole turns there and back that end on the other hole."""
    return tuple(_switches(sound, length_s, beat_s)) if sound.shake is not None else ()


def _switches(sound: Sound, length_s: float, beat_s: float) -> Iterator[float]:
    if sound.shake_rate:
        step_s = 1 / per_second(sound.shake_rate, beat_s, habits.SHAKE_HZ)
    else:
        step_s = length_s / (2 * max(1, round(length_s * habits.SHAKE_HZ / 2)))
    changes = 1
    while changes * step_s < length_s - habits.LEAST_SOUND_S:
        yield changes * step_s
        changes += 1
