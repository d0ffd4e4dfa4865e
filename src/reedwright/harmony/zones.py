"""The blue third as a zone: on a harp it is not a point but the way from one bend to the next.

Conventions: a zone lies in one hole and one breath, from the bend that gives the major third of the
key (`top`) to the one a semitone deeper that gives the minor third (`bottom`). Wherever a player
stops between them is in tune. In cross position on a C harp: between 3d and 3d'. Source: common
practice.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from reedwright.harp.harp import Harp
from reedwright.harp.note import TabNote
from reedwright.tune.tokens import format_sound
from reedwright.tune.values import Sound


@dataclass(frozen=True, slots=True)
class Zone:
    """From `top`, the major third, down to `bottom`, the minor third."""

    top: TabNote
    bottom: TabNote

    def words(self, signed: bool = False) -> str:
        """`between 3d' and 3d`, in the notation of the tune's file."""
        bottom, top = (format_sound(Sound((note,)), signed) for note in (self.bottom, self.top))
        return f"between {bottom} and {top}"


def blue_thirds(harp: Harp, key: int) -> tuple[Zone, ...]:
    """Every zone of the blue third a harp has in a key (pitch class)."""
    thirds = (note for note in harp.notes() if (harp.midi(note) - key) % 12 == 3)
    return tuple(zone for note in thirds if (zone := zone_above(note)) is not None)


def zone_above(third: TabNote) -> Zone | None:
    """The zone that a minor third of the key is the bottom of; None when it is no bend."""
    return Zone(replace(third, bend=third.bend - 1), third) if third.bend else None
