"""The breath of a note: loudness, accent, ghost, a slight swell, and what marks take from it.

Conventions: 0 (no air) to 1; it rises from 0 and falls to 0 at the end of the note, unless a slur
goes on: then the next note begins with the breath this one ends with. Throat vibrato and flutter
are in the curve. Figures from memory, in `habits`.
"""

from __future__ import annotations

from collections.abc import Callable

from reedwright.performance import habits
from reedwright.performance.note import Note
from reedwright.performance.playing import Attack, Curve
from reedwright.performance.sways import Sway
from reedwright.tune.marks import MarkKind

_Factor = Callable[[float], float]


def breath_line(note: Note) -> Curve:
    """The breath over the note."""
    level = _level(note)
    factors, times_s = _factors(note)
    values = []
    for time_s in times_s:
        value = level
        for factor in factors:
            value *= factor(time_s)
        values.append(value)
    if note.attack is Attack.SLUR:
        missing = note.from_breath - values[0]
        values = [
            value + missing * max(0.0, 1 - time_s / note.glide_s)
            for time_s, value in zip(times_s, values, strict=True)
        ]
    return Curve(tuple(times_s), tuple(min(habits.MOST_BREATH, max(0.0, v)) for v in values))


def _level(note: Note) -> float:
    ghost = MarkKind.GHOST in note.marks
    return habits.BREATH[note.event.loudness] * (habits.GHOST if ghost else 1.0) * note.loose[0]


def _factors(note: Note) -> tuple[list[_Factor], list[float]]:
    """What the level is multiplied with at each moment, and the moments a curve needs."""
    length_s = note.length_s
    factors = [_swell(length_s), _edges(note)]
    release_s, rise_s = _release_s(note), _rise_s(note)
    times_s = {0.0, rise_s, habits.SWELL_AT * length_s, length_s - release_s, length_s}
    if note.attack is Attack.SLUR:
        times_s.add(note.glide_s)
    if MarkKind.ACCENT in note.marks:
        factors.append(_accent)
        times_s |= {habits.ACCENT_S} if length_s > habits.ACCENT_S else set()
    if MarkKind.FALL in note.marks:
        factors.append(_fall(note))
        times_s.add(note.fall_start_s)
    throat, flutter = note.throat, _flutter(note)
    for sway, depth in ((throat, habits.THROAT_BREATH), (flutter, habits.FLUTTER_BREATH)):
        if sway is not None:
            factors.append(_less(sway, depth))
            times_s.update(sway.times_s())
    return factors, sorted(times_s)


def _swell(length_s: float) -> _Factor:
    top_s = habits.SWELL_AT * length_s
    rest_s = length_s - top_s

    def factor(time_s: float) -> float:
        away = (top_s - time_s) / top_s if time_s < top_s else (time_s - top_s) / rest_s
        return 1 - habits.SWELL * away

    return factor


def _edges(note: Note) -> _Factor:
    """0 at the start and the end, 1 between them."""
    rise_s, release_s, length_s = _rise_s(note), _release_s(note), note.length_s

    def factor(time_s: float) -> float:
        rising = time_s / rise_s if time_s < rise_s else 1.0
        left_s = length_s - time_s
        return rising * (left_s / release_s if left_s < release_s else 1.0)

    return factor


def _rise_s(note: Note) -> float:
    if note.attack is Attack.SLUR:
        return 0.0
    breathed = note.attack is Attack.BREATH
    return min(habits.BREATH_RISE_S if breathed else habits.TONGUE_RISE_S, note.length_s / 4)


def _release_s(note: Note) -> float:
    return 0.0 if note.goes_on else min(habits.RELEASE_S, note.length_s / 4)


def _accent(time_s: float) -> float:
    gone = min(1.0, time_s / habits.ACCENT_S)
    return 1 + habits.ACCENT + (habits.ACCENT_KEPT - habits.ACCENT) * gone


def _fall(note: Note) -> _Factor:
    start_s, fall_s = note.fall_start_s, note.length_s - note.fall_start_s

    def factor(time_s: float) -> float:
        return 1 - (1 - habits.FALL_BREATH) * max(0.0, (time_s - start_s) / fall_s)

    return factor


def _less(sway: Sway, depth: float) -> _Factor:
    def factor(time_s: float) -> float:
        return 1 - depth * sway.at(time_s)

    return factor


def _flutter(note: Note) -> Sway | None:
    if MarkKind.FLUTTER not in note.marks:
        return None
    return Sway(habits.FLUTTER_HZ, 0.0, note.length_s, points=habits.FLUTTER_POINTS)
