"""The pitch of every note of a harp, each worked out once.

Conventions: MIDI numbers; None for a note the harp does not have, which the check tells as an error
and which must not stop a lesson.
"""

from __future__ import annotations

from functools import lru_cache

from reedwright.harp.harp import Harp
from reedwright.harp.note import TabNote


class Pitches:
    """The notes of one harp; there are few, so each is looked up once."""

    def __init__(self, harp: Harp) -> None:
        self._harp = harp
        self._known: dict[TabNote, int | None] = {}

    def of(self, note: TabNote) -> int | None:
        """The MIDI number of a note, None when the harp does not have it."""
        if note not in self._known:
            missing = self._harp.why_not(note)
            self._known[note] = None if missing else self._harp.midi(note)
        return self._known[note]


@lru_cache(maxsize=32)
def pitches_of(harp: Harp) -> Pitches:
    """The notes of a harp, remembered from one tune to the next."""
    return Pitches(harp)
