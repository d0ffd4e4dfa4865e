"""Tied notes joined into one, whatever the format says of ties.

Conventions: a note that says it is tied to the next takes in the next note of its pitch that begins
where it ends; where the file only says that a note ends a tie, it is joined to the one before.
"""

from __future__ import annotations

from fractions import Fraction

from reedwright.fit.lines import RawNote


class Tying:
    """Notes as they come; `notes()` gives them joined, in order of start."""

    def __init__(self) -> None:
        self._open: dict[tuple[int, Fraction], int] = {}
        self._notes: list[RawNote] = []

    @property
    def count(self) -> int:
        return len(self._notes)

    def add(self, note: RawNote, ends_tie: bool, begins_tie: bool) -> None:
        """`begins_tie`: the file says that the note is tied to the next."""
        at = self._open.pop((note.pitch, note.start), None) if ends_tie or self._open else None
        if at is None:
            at = len(self._notes)
            self._notes.append(note)
        else:
            self._notes[at] = RawNote(self._notes[at].start, note.end, note.pitch)
        if begins_tie:
            self._open[note.pitch, note.end] = at

    def notes(self) -> list[RawNote]:
        return sorted(self._notes, key=lambda note: (note.start, note.pitch))
