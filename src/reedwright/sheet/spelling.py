"""Pitches as written: letter, sharp or flat, octave, and whether the sign must be printed.

Conventions: MIDI numbers, sounding pitch. A tritone above the key note is a raised fourth on its
way up to the fifth, else a flat fifth (common practice). An accidental holds to the end of its bar
in its own octave; a tied note carries its sign over the bar line but does not renew it.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from reedwright.errors import SheetError
from reedwright.harp.pitch import spell

_SHARPS, _FLATS = "FCGDAEB", "BEADGCF"
SIGNS = {-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}
"""MusicXML's names of accidentals by semitones."""


class Spelled(NamedTuple):
    """A written pitch: `alter` in semitones, `octave` 4 from middle C."""

    step: str
    alter: int
    octave: int


@cache
def spelled(midi: int, fifths: int, minor: bool, flat_five: bool) -> Spelled:
    """A pitch as a key has it. Errors: SheetError for one below or above what can be written."""
    name = spell(midi, fifths, minor, flat_five)
    letter, rest = name[0], name[1:]
    signs = rest[: len(rest) - len(rest.lstrip("#b"))]
    octave = int(rest[len(signs) :])
    if not 0 <= octave <= 9:
        raise SheetError(f"{name} (MIDI {midi}) lies outside the octaves 0 to 9 of written music.")
    return Spelled(letter, signs.count("#") - signs.count("b"), octave)


@cache
def signature(fifths: int) -> dict[str, int]:
    """Alteration of each step that a key signature raises or lowers."""
    steps = _SHARPS[:fifths] if fifths > 0 else _FLATS[:-fifths]
    return dict.fromkeys(steps, 1 if fifths > 0 else -1)


class Accidentals:
    """Which signs are in force; asked for each note in the order of writing."""

    def __init__(self, fifths: int) -> None:
        self._signature = signature(fifths)
        self._in_force: dict[tuple[str, int], int] = {}

    def new_bar(self) -> None:
        self._in_force.clear()

    def needed(self, note: Spelled, tied: bool) -> str:
        """The accidental to print before a note, empty for none; `tied`: from a note before."""
        if tied:
            return ""
        place = (note.step, note.octave)
        if self._in_force.get(place, self._signature.get(note.step, 0)) == note.alter:
            return ""
        self._in_force[place] = note.alter
        return SIGNS[note.alter]
