"""Whether the notes of a sound can sound together: chords, splits and shakes.

Conventions: holes count from 1; intervals in semitones. A chord is a run of neighbouring holes; a
split is two runs with the tongue on the holes between. Octaves are 12 semitones, sevenths 10 or 11.
Limits: `data/mouth.toml`. Source: common practice.
"""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from itertools import pairwise

from reedwright.check.fault import Fault, error, warning
from reedwright.check.notes import token
from reedwright.harp.harp import Harp
from reedwright.harp.note import TabNote
from reedwright.tune.tokens import format_sound
from reedwright.tune.values import Sound

OCTAVE, SEVENTHS = 12, (10, 11)


@cache
def mouth() -> dict[str, dict[str, int]]:
    """The limits of the data file."""
    path = files("reedwright.check").joinpath("data/mouth.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"))


def breath_faults(sound: Sound, signed: bool) -> list[Fault]:
    """An error when the notes do not all go the same way."""
    if len({note.breath for note in sound.reeds}) == 1:
        return []
    text = format_sound(sound, signed)
    ways = [
        format_sound(Sound(*_all_one_way(sound, note)), signed)
        for note in (sound.reeds[0], sound.reeds[-1])
    ]
    return [
        error(
            f"{text} blows and draws at the same time",
            f"write {ways[0]} or {ways[1]}: air goes one way at a time",
        )
    ]


def _all_one_way(sound: Sound, like: TabNote) -> tuple[tuple[TabNote, ...], TabNote | None]:
    notes = tuple(TabNote(note.hole, like.breath) for note in sound.reeds)
    return (notes[:1], notes[1]) if sound.shake else (notes, None)


def shape_faults(sound: Sound, harp: Harp, signed: bool) -> list[Fault]:
    """What is wrong with the holes of a sound whose notes all exist and go the same way."""
    if sound.shake is not None:
        return _shake(sound.notes[0], sound.shake, signed)
    if len(sound.notes) == 1:
        return []
    faults = _bends(sound, signed)
    gaps = [(low, high) for low, high in pairwise(sound.notes) if high.hole - low.hole > 1]
    if not gaps:
        return faults + _chord(sound, signed)
    if len(gaps) > 1:
        return [*faults, _scattered(sound, signed)]
    return faults + _split(sound, harp, signed)


def _shake(low: TabNote, high: TabNote, signed: bool) -> list[Fault]:
    if abs(low.hole - high.hole) == 1:
        return []
    text = format_sound(Sound((low,), high), signed)
    if low.hole == high.hole:
        mend = f"write {token(low.natural(), signed)}v for a vibrato"
        return [error(f"the shake {text} stays on one hole", mend)]
    near = TabNote(low.hole + (1 if high.hole > low.hole else -1), low.breath)
    return [
        error(
            f"the shake {text} leaves out the holes between: a shake goes between neighbours",
            f"write {format_sound(Sound((low.natural(),), near), signed)}",
        )
    ]


def _bends(sound: Sound, signed: bool) -> list[Fault]:
    """The mouth bends all notes of a chord alike (common practice), so no two depths together."""
    depths = {(note.bend, note.over) for note in sound.notes}
    if len(depths) == 1:
        return []
    text = format_sound(sound, signed)
    plain = format_sound(Sound(tuple(note.natural() for note in sound.notes)), signed)
    found = f"{text} bends some of its notes and not the others alike"
    return [warning(found, f"write {plain}, or the bent note alone")]


def _chord(sound: Sound, signed: bool) -> list[Fault]:
    most = mouth()["chord"]["holes"]
    if len(sound.notes) <= most:
        return []
    fewer = format_sound(Sound(sound.notes[:most]), signed)
    found = f"a chord of {len(sound.notes)} holes: a mouth covers about {most}"
    return [warning(found, f"leave some out, like {fewer}")]


def _scattered(sound: Sound, signed: bool) -> Fault:
    found = f"{format_sound(sound, signed)} leaves holes out in more than one place"
    mend = "play neighbours, or two runs with one gap: the tongue blocks one run of holes"
    return error(found, mend)


def _split(sound: Sound, harp: Harp, signed: bool) -> list[Fault]:
    low, high = sound.notes[0], sound.notes[-1]
    limits = mouth()["split"]
    span = high.hole - low.hole + 1
    text = format_sound(sound, signed)
    if span > limits["most_holes"]:
        found = f"{text} spans {span} holes: a split spans {limits['least_holes']} to "
        return [error(f"{found}{limits['most_holes']}", _partner(low, harp, signed))]
    interval = harp.midi(high) - harp.midi(low)
    if interval in (OCTAVE, *SEVENTHS):
        return []
    found = f"{text} is {interval} semitones wide: neither an octave nor a seventh"
    return [warning(found, _partner(low, harp, signed))]


def _partner(low: TabNote, harp: Harp, signed: bool) -> str:
    """The octave above a note on this layout, or else its seventh."""
    spans = range(mouth()["split"]["least_holes"], mouth()["split"]["most_holes"] + 1)
    tops = [
        TabNote(low.hole + span - 1, low.breath)
        for span in spans
        if low.hole + span - 1 <= harp.holes
    ]
    base = harp.midi(low)
    for width, name in ((OCTAVE, "octave"), (SEVENTHS[0], "seventh"), (SEVENTHS[1], "seventh")):
        for top in tops:
            if harp.midi(top) - base == width:
                pair = format_sound(Sound((low, top)), signed)
                return f"the {name} on {token(low, signed)} is {pair}"
    return f"{token(low, signed)} has no octave above it here; play it alone or with a neighbour"
