"""The blue third as a zone: on a harp it is not a point but the way from one bend to the next.

Conventions: a zone lies in one hole and one breath, from the bend that gives the major third of the
key (`top`) to the one a semitone deeper that gives the minor third (`bottom`). Wherever a player
stops between them is in tune. In cross position on a C harp: between 3d and 3d'. Source: common
practice.
"""

from __future__ import annotations

from dataclasses import dataclass

from reedwright.harp.harp import Harp
from reedwright.harp.note import TabNote


@dataclass(frozen=True, slots=True)
class Zone:
    """From `top`, the major third, down to `bottom`, the minor third."""

    top: TabNote
    bottom: TabNote

    def holds(self, note: TabNote) -> bool:
        return note in (self.top, self.bottom)

    def __str__(self) -> str:
        return f"between {self.bottom} and {self.top}"


def blue_thirds(harp: Harp, key: int) -> tuple[Zone, ...]:
    """Every zone of the blue third a harp has in a key (pitch class)."""
    by_note = {note: (harp.midi(note) - key) % 12 for note in harp.notes() if not note.over}
    zones = []
    for note, above in by_note.items():
        if above == 4:
            below = TabNote(note.hole, note.breath, note.bend + 1, button=note.button)
            if by_note.get(below) == 3:
                zones.append(Zone(note, below))
    return tuple(zones)
