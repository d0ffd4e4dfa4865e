"""What a harp has that fits a chord: single notes near a note, full chords near a chord.

Conventions: a fitting full chord has neighbouring natural notes of one breath, all of them tones of
the chord. Where a harp has none (the V chord of cross position, low down) an octave or the root
alone stands in for it. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Sequence

from reedwright.harp.harp import Harp
from reedwright.harp.note import Breath, TabNote
from reedwright.tune.chords import Chord
from reedwright.tune.tokens import format_sound
from reedwright.tune.values import Sound

_SPLIT_SPANS = (3, 2, 4)
"""Holes between the ends of an octave: four holes as blow octaves have, then three, then five."""


def nearest_tone(harp: Harp, note: TabNote, chord: Chord) -> TabNote | None:
    """The chord's tone nearest in pitch to a note, the easiest and nearest way to play it."""
    midi = harp.midi(note)
    fitting = [other for other in harp.notes() if _fits(harp, other, chord)]

    def cost(other: TabNote) -> tuple[int, bool, int, int]:
        away = abs(harp.midi(other) - midi)
        return away, other.over, abs(other.hole - note.hole), other.bend

    return min(fitting, key=cost, default=None)


def fitting_chord(harp: Harp, notes: Sequence[TabNote], chord: Chord) -> tuple[TabNote, ...]:
    """The fullest fitting chord nearest to a chord, of as many notes at most; may be empty."""
    low = notes[0].hole
    for size in range(len(notes), 1, -1):
        runs = [
            _run(hole, size, breath)
            for hole in range(1, harp.holes + 2 - size)
            for breath in Breath
        ]
        fitting = [run for run in runs if all(_fits(harp, note, chord) for note in run)]
        near = [run for run in fitting if abs(run[0].hole - low) <= size]
        if near:
            return min(near, key=lambda run: abs(run[0].hole - low))
    return _octave_of_root(harp, low, chord)


def _octave_of_root(harp: Harp, low: int, chord: Chord) -> tuple[TabNote, ...]:
    natural = [note for note in harp.notes() if note == note.natural() and not note.button]
    roots = [note for note in natural if (harp.midi(note) - chord.root) % 12 == 0]
    roots.sort(key=lambda note: abs(note.hole - low))
    for root in roots:
        for span in _SPLIT_SPANS:
            if root.hole + span > harp.holes:
                continue
            upper = TabNote(root.hole + span, root.breath)
            if harp.midi(upper) - harp.midi(root) == 12:
                return (root, upper)
    return tuple(roots[:1])


def token_of(notes: tuple[TabNote, ...], signed: bool = False) -> str:
    """`1+2+3b`, as the tune's own file would write it."""
    return format_sound(Sound(notes), signed)


def _run(hole: int, size: int, breath: Breath) -> tuple[TabNote, ...]:
    return tuple(TabNote(hole + step, breath) for step in range(size))


def _fits(harp: Harp, note: TabNote, chord: Chord) -> bool:
    return (harp.midi(note) - chord.root) % 12 in chord.intervals
