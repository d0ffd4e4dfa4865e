"""Marks that cannot be played together, or not on this sound.

Conventions: pairs of marks exclude each other because tongue or hands cannot do both at once, or
because one says the opposite of the other. Source: common practice.
"""

from __future__ import annotations

from reedwright.check.fault import Fault, error, warning
from reedwright.harp.harp import Harp
from reedwright.tune.tokens import format_sound
from reedwright.tune.values import MarkKind, Sound

_TONGUE_DOWN = (MarkKind.BLOCKED, MarkKind.SLAP, MarkKind.PULL)
_EXCLUDE = (
    *((MarkKind.FLUTTER, kind, "the tongue cannot do both") for kind in _TONGUE_DOWN),
    (MarkKind.HAND, MarkKind.WAH, "the same hands do both"),
    (MarkKind.ACCENT, MarkKind.GHOST, "one says loud, the other barely heard"),
)


def mark_faults(sound: Sound, harp: Harp, signed: bool) -> list[Fault]:
    """What is wrong with the marks of a sound whose notes exist."""
    if not sound.marks:
        return []
    return [*_excluding(sound, signed), *_rake(sound, harp, signed), *_tongue(sound, signed)]


def _excluding(sound: Sound, signed: bool) -> list[Fault]:
    kinds = {mark.kind for mark in sound.marks}
    return [
        warning(
            f"{format_sound(sound, signed)} has {one.word} and {other.word} at once: {why}",
            "keep one of the two",
        )
        for one, other, why in _EXCLUDE
        if one in kinds and other in kinds
    ]


def _tongue(sound: Sound, signed: bool) -> list[Fault]:
    """A split keeps the tongue on the harp, so it cannot flutter."""
    holes = [note.hole for note in sound.notes]
    if not sound.mark(MarkKind.FLUTTER) or holes[-1] - holes[0] + 1 == len(holes):
        return []
    found = (
        f"{format_sound(sound, signed)} flutters in a split: the tongue blocks the holes between"
    )
    return [warning(found, f"leave the {MarkKind.FLUTTER.value} out, or play one note")]


def _rake(sound: Sound, harp: Harp, signed: bool) -> list[Fault]:
    mark = sound.mark(MarkKind.RAKE)
    if mark is None:
        return []
    start, text = int(mark.amount), format_sound(sound, signed)
    holes = [note.hole for note in sound.reeds]
    if not 1 <= start <= harp.holes:
        found = f"{text} rakes from hole {start}: this harp has holes 1 to {harp.holes}"
        return [error(found, f"rake from a hole of the harp, such as {max(1, min(holes) - 2)}")]
    if min(holes) <= start <= max(holes):
        found = f"{text} rakes from hole {start}, where it already is"
        return [warning(found, "name the hole the sweep begins at, or leave the rake out")]
    return []
