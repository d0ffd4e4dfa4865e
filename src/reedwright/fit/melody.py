"""A melody: notes in time, with what is known of meter, key and chords.

Conventions: `start` and `length` in counted beats from the first beat of bar 1 (a pickup is
negative), unswung; pitches are MIDI numbers. Notes come in order of time and do not overlap; each
has one pitch, or several that sound together (a chord or an octave), low to high.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise

from reedwright.errors import Problem, ReedwrightError
from reedwright.tune.form import ChordSpan
from reedwright.tune.meter import Feel, Meter

MAX_NOTES = 1_000_000
MAX_TOGETHER = 6
"""Pitches of one note: more than a mouth covers (from memory)."""


class MelodyError(ReedwrightError, ValueError):
    """A melody that cannot be read or used."""


@dataclass(frozen=True, slots=True)
class MelodyNote:
    """One note. `pitches`: MIDI 0–127, low to high."""

    start: Fraction
    length: Fraction
    pitches: tuple[int, ...]

    def __post_init__(self) -> None:
        rising = all(low < high for low, high in pairwise(self.pitches))
        inside = all(0 <= pitch <= 127 for pitch in self.pitches)
        if not self.pitches or not rising or not inside or self.length <= 0:
            raise MelodyError(
                str(
                    Problem(
                        f"a note of pitches {self.pitches} and {self.length} beats",
                        "A note has pitches from 0 to 127, low to high, and a length above 0",
                    )
                )
            )

    @property
    def end(self) -> Fraction:
        return self.start + self.length

    @property
    def top(self) -> int:
        return self.pitches[-1]


@dataclass(frozen=True, slots=True)
class Melody:
    """A melody and what came with it.

    Attributes:
        notes: in order of time.
        title: empty where none is known.
        tempo_bpm: counted beats a minute.
        key: pitch class of the key note, None where nothing says.
        minor: whether the key is a minor one.
        bars: chords of bar 1, 2 … where the source has them, else empty.
        bar_count: bars from bar 1 on.
    """

    notes: tuple[MelodyNote, ...]
    title: str = ""
    meter: Meter = field(default_factory=Meter)
    feel: Feel = field(default_factory=Feel)
    tempo_bpm: Fraction = Fraction(100)
    key: int | None = None
    minor: bool = False
    bars: tuple[tuple[ChordSpan, ...], ...] = ()
    bar_count: int = 0

    def __post_init__(self) -> None:
        for before, after in pairwise(self.notes):
            if after.start < before.end:
                raise MelodyError(
                    str(
                        Problem(
                            f"notes that overlap at beat {float(after.start):g}",
                            "A melody has one note after the other",
                            "pick one voice",
                        )
                    )
                )

    @property
    def lowest(self) -> int:
        return min(note.pitches[0] for note in self.notes)

    @property
    def highest(self) -> int:
        return max(note.top for note in self.notes)

    @property
    def beat_s(self) -> float:
        """Seconds of a counted beat."""
        return float(60 / self.tempo_bpm)
