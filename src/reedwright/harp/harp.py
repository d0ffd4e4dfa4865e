"""A harp: a key, a register, a tuning, a temperament and a reference pitch.

Conventions: MIDI numbers (C4 = 60), cents, hertz. `key` is what is printed on the harp, so the
first-position key follows from it and from the tuning's label position. Registers of the twelve
keys: common practice; a `low` harp sounds an octave below the usual one, a `high` harp one above.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from enum import StrEnum

from reedwright.errors import HarpError, Problem
from reedwright.harp import law
from reedwright.harp.note import MAX_BEND, TabNote
from reedwright.harp.pitch import frequency_hz, harp_key, pitch_class, shown
from reedwright.harp.temperament import EQUAL, Temperament
from reedwright.harp.tuning import Tuning, tuning_named

A4_RANGE_HZ = (400.0, 480.0)
"""Reference pitches accepted; ISO 16:1975 fixes 440, harps are often tuned to 441–444."""

LOWEST_KEY_MIDI = 55  # hole 1 blow of a harp in G, the lowest usual one (common practice)


class Variant(StrEnum):
    """The register of a harp against the usual one of its key."""

    LOW = "low"
    STANDARD = "standard"
    HIGH = "high"

    @property
    def semitones(self) -> int:
        return {"low": -12, "standard": 0, "high": 12}[self.value]


@dataclass(frozen=True, slots=True)
class Harp:
    """One harp. `key`: the name printed on it (one of the twelve, enharmonic names accepted)."""

    key: str
    tuning: Tuning
    variant: Variant = Variant.STANDARD
    temperament: Temperament = EQUAL
    a4_hz: float = 440.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "key", harp_key(pitch_class(self.key)))
        low, high = A4_RANGE_HZ
        if not low <= self.a4_hz <= high:
            raise HarpError(
                Problem(
                    found=f"A4 = {self.a4_hz:g} Hz",
                    rule=f"The reference pitch lies between {low:g} and {high:g} Hz",
                    mend="write 440 (the standard) or 442, as many harps are tuned",
                )
            )
        lowest, highest = min(self._reeds()), max(self._reeds())
        if lowest < 0 or highest > 127:
            raise HarpError(
                Problem(
                    found=f"the {self.name} harp with notes from MIDI {lowest} to {highest}",
                    rule="MIDI numbers run from 0 to 127",
                    mend="take the usual register, or reeds nearer to the key note",
                )
            )

    def _reeds(self) -> tuple[int, ...]:
        """MIDI numbers no note lies outside of: every reed with its widest bend and overbend."""
        offsets = self.tuning.blow + self.tuning.draw
        return self.key_midi + min(offsets) - MAX_BEND, self.key_midi + max(offsets) + 2

    @property
    def first_key(self) -> int:
        """Pitch class of the first-position key."""
        return (pitch_class(self.key) - 7 * (self.tuning.label_position - 1)) % 12

    @property
    def key_midi(self) -> int:
        """MIDI number of the key note that offsets count from: hole 1 blow in most tunings."""
        return LOWEST_KEY_MIDI + (self.first_key - LOWEST_KEY_MIDI) % 12 + self.variant.semitones

    @property
    def holes(self) -> int:
        return self.tuning.holes

    @property
    def name(self) -> str:
        """As a player says it: `low D`, `A natural minor`."""
        register = "" if self.variant is Variant.STANDARD else self.variant.value + " "
        tuning = "" if self.tuning.name == "Richter" else " " + self.tuning.name
        return f"{register}{self.key}{tuning}"

    def why_not(self, note: TabNote) -> str:
        """Why a note cannot be played on this harp; empty when it can."""
        return law.why_not(self.tuning, note)

    def midi(self, note: TabNote) -> int:
        """MIDI number of a note. Errors: HarpError when this harp does not have it."""
        reason = law.why_not(self.tuning, note)
        if reason:
            raise HarpError(
                Problem(
                    found=f"no {note} on the {self.name} harp",
                    rule=reason[0].upper() + reason[1:],
                    mend="choose a note of the chart (`reedwright harp`)",
                )
            )
        return self.key_midi + law.offset_of(self.tuning, note)

    def cents(self, note: TabNote) -> float:
        """Cents of a note's target from equal temperament at A4 = 440 Hz."""
        from_key = law.offset_of(self.tuning, note) % 12
        return self.temperament.cents[from_key] + reference_cents(self.a4_hz)

    def hertz(self, note: TabNote) -> float:
        """Target frequency of a note in hertz."""
        return frequency_hz(self.midi(note) + self.cents(note) / 100.0)

    def notes(self) -> tuple[TabNote, ...]:
        """Every note of the harp, hole by hole."""
        holes = range(1, self.holes + 1)
        return tuple(note for hole in holes for note in law.notes_of_hole(self.tuning, hole))

    def places_of(self, midi: int) -> tuple[TabNote, ...]:
        """Every way to play a pitch, natural notes first, then bends, then overbends."""
        found = [note for note in self.notes() if self.midi(note) == midi]
        return tuple(sorted(found, key=lambda note: (note.over, note.bend, note.hole, note.breath)))

    def as_json(self) -> dict[str, str | float]:
        """`{key, variant, tuning, a4_hz, temperament}`, the same everywhere."""
        return {
            "key": self.key,
            "variant": self.variant.value,
            "tuning": self.tuning.name,
            "a4_hz": self.a4_hz,
            "temperament": self.temperament.name,
        }


def reference_cents(a4_hz: float) -> float:
    """Cents of a reference pitch above A4 = 440 Hz (441: +3.93).

    >>> round(reference_cents(442.0), 2)
    7.85
    """
    return 1200.0 * math.log2(a4_hz / 440.0)


_HARP_NAME = re.compile(r"(?:(low|high) )?([A-G][#b♯♭]?)(?: (low|high))?( .+)?", re.IGNORECASE)


def parse_harp_name(text: str) -> tuple[str, Variant]:
    """Key and variant from `A`, `low D`, `Low F`. Errors: HarpError."""
    key, variant, rest = _split_name(text)
    if rest:
        raise _not_a_harp(text)
    return key, variant


def harp_named(name: str, tuning: str = "") -> Harp:
    """A harp in equal temperament at A4 = 440 Hz from the words a player would use.

    The tuning is given apart, or stands behind the key; Richter when it is not given.

    >>> harp_named("low D").name, harp_named("A natural minor").name
    ('low D', 'A natural minor')
    """
    key, variant, rest = _split_name(name)
    if rest and tuning:
        raise _not_a_harp(name)
    return Harp(key, tuning_named(tuning or rest or "Richter", key), variant)


def _split_name(text: str) -> tuple[str, Variant, str]:
    match = _HARP_NAME.fullmatch(" ".join(text.split()))
    if match is None or (match[1] and match[3]):
        raise _not_a_harp(text)
    word = match[1] or match[3]
    variant = Variant(word.lower()) if word else Variant.STANDARD
    return harp_key(pitch_class(match[2])), variant, (match[4] or "").strip()


def _not_a_harp(text: str) -> HarpError:
    return HarpError(
        Problem(
            found=f"{shown(text)} is not a harp",
            rule="A harp is named by its key, with `low` or `high` before it where it applies",
            mend="write it like A, Bb, low D or high G",
        )
    )
