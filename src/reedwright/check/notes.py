"""Whether single notes exist on a harp, and how deep they can dip or fall.

Conventions: depths in semitones. Source: the law of the two reeds (`harp.law`); that holes without
a full semitone are dipped a little, on purpose, is common practice (5d of a Richter harp).
"""

from __future__ import annotations

from reedwright.check.fault import Fault, error, warning
from reedwright.harp.harp import Harp
from reedwright.harp.law import bend_limit, higher_breath, overbend_breath
from reedwright.harp.note import TabNote
from reedwright.tune.tokens import format_sound
from reedwright.tune.values import MarkKind, Sound


def token(note: TabNote, signed: bool) -> str:
    """A note as the tune's own file writes it."""
    return format_sound(Sound((note,)), signed)


def note_faults(sound: Sound, harp: Harp, signed: bool) -> list[Fault]:
    """One error for each note that this harp does not have."""
    faults = []
    for note in dict.fromkeys(sound.reeds):
        reason = harp.why_not(note)
        if reason:
            faults.append(
                error(f"there is no {token(note, signed)}: {reason}", _mend(note, harp, signed))
            )
    return faults


def _mend(note: TabNote, harp: Harp, signed: bool) -> str:
    if note.hole > harp.holes:
        return f"choose a hole from 1 to {harp.holes}"
    if note.button and not harp.tuning.button:
        return f"write {token(TabNote(note.hole, note.breath, note.bend, note.over), signed)}"
    if note.over:
        other = overbend_breath(harp.tuning, note.hole)
        if other is None:
            return f"write {token(note.natural(), signed)}, or choose another note"
        return f"write {token(TabNote(note.hole, other, over=True), signed)}"
    deepest = bend_limit(harp.tuning, note.hole, note.breath)
    nearest = TabNote(note.hole, note.breath, deepest, button=note.button)
    meant = harp.midi(note.natural()) - note.bend
    same = next(iter(harp.places_of(meant)), None)
    pitch = "" if same is None else f"; the pitch you ask for is {token(same, signed)}"
    return f"write {token(nearest, signed)}{pitch}"


def glide_faults(sound: Sound, harp: Harp, signed: bool) -> list[Fault]:
    """Dips and falls deeper than any note of the sound can bend."""
    faults = []
    for kind in (MarkKind.DIP, MarkKind.FALL):
        mark = sound.mark(kind)
        if mark is None:
            continue
        depth = max(_room_below(note, harp) for note in sound.reeds)
        if mark.amount > depth:
            faults.append(_too_deep(sound, kind, int(mark.amount), depth, signed))
    return faults


def _too_deep(sound: Sound, kind: MarkKind, asked: int, depth: int, signed: bool) -> Fault:
    what = (
        f"{'a dip into' if kind is MarkKind.DIP else 'a fall off'} {token(sound.notes[0], signed)}"
    )
    sign = kind.value
    if depth == 0:
        found = f"{what} has nowhere to go: the note bends no further down"
        return warning(found, f"leave the {sign} out, or mark a note that bends")
    there = "is 1" if depth == 1 else f"are {depth}"
    found = f"{what} of {asked} semitones: there {there} below it"
    return warning(found, f"write {sign * depth} for {sign * asked}")


def _room_below(note: TabNote, harp: Harp) -> int:
    """Semitones a note can go down from where it is."""
    if note.over:
        return 0  # an overbend goes up from its note, not down
    limit = bend_limit(harp.tuning, note.hole, note.breath)
    shallow = limit == 0 and higher_breath(harp.tuning, note.hole) is note.breath
    return 1 if shallow else limit - note.bend
