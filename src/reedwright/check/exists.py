"""Whether every sound of a tune exists on its harp and can be played at all.

Conventions: each written place is told once, however often its lick is played; the finding stands
where it first sounds. `playable` has one entry for each event, False where it cannot be played as
written: the other checks leave those events out. Linear in the events.
"""

from __future__ import annotations

from dataclasses import dataclass

from reedwright.check.fault import Fault
from reedwright.check.marks import mark_faults
from reedwright.check.notes import glide_faults, note_faults
from reedwright.check.shapes import breath_faults, shape_faults
from reedwright.harp.harp import Harp
from reedwright.tune.findings import Finding
from reedwright.tune.gathering import finding_at
from reedwright.tune.place import Score
from reedwright.tune.values import Sound


@dataclass(frozen=True, slots=True)
class Existence:
    """The findings, and which events can be played."""

    findings: tuple[Finding, ...]
    playable: tuple[bool, ...]


def existence(score: Score) -> Existence:
    """Check every event of a score."""
    tune = score.tune
    known: dict[Sound, list[Fault]] = {}
    told: set[tuple[int, int]] = set()
    findings: list[Finding] = []
    playable: list[bool] = []
    for event in score.events:
        faults = known.get(event.sound)
        if faults is None:
            faults = known[event.sound] = sound_faults(event.sound, tune.harp, tune.signed)
        playable.append(not any(fault.impossible for fault in faults))
        place = (event.line, event.column)
        if faults and place not in told:
            told.add(place)
            findings += [
                finding_at(event, fault.severity, "exists", fault.found, fault.mend)
                for fault in faults
            ]
    return Existence(tuple(findings), tuple(playable))


def sound_faults(sound: Sound, harp: Harp, signed: bool = False) -> list[Fault]:
    """Everything wrong with one sound on a harp; what does not exist hides what depends on it."""
    faults = note_faults(sound, harp, signed) + breath_faults(sound, signed)
    if faults:
        return faults
    return [
        *shape_faults(sound, harp, signed),
        *glide_faults(sound, harp, signed),
        *mark_faults(sound, harp, signed),
    ]
