"""The written pitches of a score's events, asked for in the order of writing.

Conventions: sounding pitch, low hole to high. A fault names the bar and beat it stands in.
"""

from __future__ import annotations

from reedwright.errors import HarpError, SheetError
from reedwright.harp.note import TabNote
from reedwright.sheet.spelling import Accidentals, Spelled, spelled
from reedwright.tune.events import Event
from reedwright.tune.findings import spoken_beat
from reedwright.tune.place import Score

_TRITONE = 6


class Pitches:
    """Spells the notes of one score and knows which accidentals are in force."""

    def __init__(self, score: Score) -> None:
        tune = score.tune
        self._events, self._harp = score.events, tune.harp
        self._key, self._fifths, self._minor = tune.key, tune.fifths, tune.minor
        self._midi: dict[TabNote, int] = {}
        self._sounds: dict[int, tuple[int, ...]] = {}  # by identity of the sound
        self._accidentals = Accidentals(tune.fifths)
        self._last: tuple[int, tuple[Spelled, ...]] = (-1, ())

    def new_bar(self) -> None:
        self._accidentals.new_bar()

    def accidental(self, note: Spelled, tied: bool) -> str:
        """The accidental to print before a note, empty for none."""
        return self._accidentals.needed(note, tied)

    def of(self, index: int) -> tuple[Spelled, ...]:
        """The pitches of an event. Errors: SheetError for a note the harp does not have."""
        if self._last[0] != index:
            self._last = (index, self._spelled(index))
        return self._last[1]

    def _spelled(self, index: int) -> tuple[Spelled, ...]:
        return tuple(
            spelled(midi, self._fifths, self._minor, self._flat_five(midi, index))
            for midi in self.midis(self._events[index])
        )

    def _flat_five(self, midi: int, index: int) -> bool:
        if (midi - self._key) % 12 != _TRITONE or index + 1 >= len(self._events):
            return True
        return midi + 1 not in self.midis(self._events[index + 1])

    def midis(self, event: Event) -> tuple[int, ...]:
        """MIDI numbers of an event's reeds, low hole to high. Errors: SheetError."""
        found = self._sounds.get(id(event.sound))
        if found is None:
            reeds = sorted(event.sound.reeds, key=lambda note: note.hole)
            found = tuple(self._midi_of(note, event) for note in reeds)
            self._sounds[id(event.sound)] = found
        return found

    def _midi_of(self, note: TabNote, event: Event) -> int:
        midi = self._midi.get(note)
        if midi is None:
            try:
                midi = self._midi[note] = self._harp.midi(note)
            except HarpError as error:
                raise SheetError(f"{_where(event)}: {error}") from None
        return midi


def _where(event: Event) -> str:
    line = f"line {event.line}: " if event.line else ""
    beat = spoken_beat(event.beat)
    return f"{line}lick {event.lick}, chorus {event.chorus}, bar {event.bar}, beat {beat}"
