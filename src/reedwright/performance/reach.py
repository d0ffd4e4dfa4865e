"""How far the pitch of a sounding note can go down and up, as the two reeds of its hole allow.

Conventions: cents from the target of the written note, low ≤ 0 ≤ high. A bend lies between the two
notes of its hole (the law of the harp room); it stays a little above the lower one, which a note
without a full semitone of bend can be dipped towards as well. The lower reed does not bend: it
sways by a few cents. A valved reed goes as far as its bend. An overbend can be a little flat.
"""

from __future__ import annotations

from reedwright.harp.harp import Harp
from reedwright.harp.law import bend_limit, higher_breath
from reedwright.harp.note import MAX_BEND, TabNote
from reedwright.harp.tuning import Valves
from reedwright.performance.habits import INSIDE_CENTS, OVER_SWAY_CENTS, SWAY_CENTS


class Reach:
    """What the notes of one harp can give; remembers what it has worked out."""

    def __init__(self, harp: Harp) -> None:
        self._harp = harp
        self._cents: dict[TabNote, float] = {}
        self._limits: dict[TabNote, tuple[float, float]] = {}

    def cents(self, note: TabNote) -> float:
        """A note's target in cents above MIDI 0. Errors: HarpError without such a note."""
        found = self._cents.get(note)
        if found is None:
            found = self._cents[note] = 100.0 * self._harp.midi(note) + self._harp.cents(note)
        return found

    def limits(self, notes: tuple[TabNote, ...]) -> tuple[float, float]:
        """Of notes that sound together: the pitch of all moves as far as the stiffest lets it."""
        each = [self._of_one(note) for note in notes]
        return max(low for low, _ in each), min(high for _, high in each)

    def _of_one(self, note: TabNote) -> tuple[float, float]:
        found = self._limits.get(note)
        if found is None:
            found = self._limits[note] = self._worked_out(note)
        return found

    def _worked_out(self, note: TabNote) -> tuple[float, float]:
        if note.over:
            return -OVER_SWAY_CENTS, 0.0
        here, natural = self.cents(note), self.cents(note.natural())
        return min(0.0, self._lowest(note, natural) - here), max(0.0, natural - here)

    def _lowest(self, note: TabNote, natural: float) -> float:
        tuning = self._harp.tuning
        two_reeds = tuning.valves is not Valves.ALL
        if two_reeds and higher_breath(tuning, note.hole) is note.breath:
            other = TabNote(note.hole, note.breath.other, button=note.button)
            return max(self.cents(other) + INSIDE_CENTS, natural - 100.0 * (MAX_BEND + 1))
        return natural - max(SWAY_CENTS, 100.0 * bend_limit(tuning, note.hole, note.breath))
