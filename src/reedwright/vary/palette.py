"""The single notes a student has on a harp, and the chords a lick is heard over.

Conventions: pitches are MIDI numbers. Notes come in order of pitch; of two ways to the same pitch
the natural one stands first. Strong beats are the first of a bar, and the third of four (common
practice).
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, replace
from fractions import Fraction

from reedwright.harp.harp import Harp
from reedwright.harp.note import TabNote
from reedwright.harp.position import scale_of
from reedwright.tune.chords import Chord
from reedwright.tune.order import Placement
from reedwright.tune.place import Score
from reedwright.tune.techniques import techniques_of
from reedwright.tune.tune import Tune
from reedwright.tune.values import Sound


@dataclass(frozen=True, slots=True)
class Palette:
    """`notes` and their `pitches` side by side."""

    harp: Harp
    notes: tuple[TabNote, ...]
    pitches: tuple[int, ...]
    scale: frozenset[int]
    key: int

    def natural(self) -> Palette:
        """Its notes that are neither bent nor overbent."""
        kept = [at for at, note in enumerate(self.notes) if not note.bend and not note.over]
        notes = tuple(self.notes[at] for at in kept)
        return replace(self, notes=notes, pitches=tuple(self.pitches[at] for at in kept))

    def near(
        self, pitch: int, wanted: frozenset[int], *, beside: TabNote | None = None
    ) -> TabNote | None:
        """The note nearest to a pitch whose pitch class is wanted; of equals the one nearest to the
        hole of `beside`, then the lower."""
        found = [
            (abs(own - pitch), 0 if beside is None else abs(note.hole - beside.hole), own, note)
            for note, own in zip(self.notes, self.pitches, strict=True)
            if own % 12 in wanted
        ]
        return min(found, key=lambda row: row[:3])[3] if found else None

    def of(self, pitch: int, beside: TabNote | None = None) -> TabNote | None:
        """The way to a pitch nearest to the hole of `beside`, None when the student has none."""
        first = bisect_left(self.pitches, pitch)
        ways = []
        for at in range(first, len(self.notes)):
            if self.pitches[at] != pitch:
                break
            ways.append(self.notes[at])
        if not ways:
            return None
        hole = ways[0].hole if beside is None else beside.hole
        return min(ways, key=lambda note: (abs(note.hole - hole), note.bend, note.over))

    def step(self, pitch: int, by: int) -> int | None:
        """The next pitch of the scale up (`by` 1) or down (-1) that the student has."""
        for distance in range(1, 5):
            other = pitch + by * distance
            if (other - self.key) % 12 in self.scale and self.of(other) is not None:
                return other
        return None


def palette_of(tune: Tune, abilities: frozenset[str] | None = None) -> Palette:
    """What the tune's student has (all of the harp where no student is named)."""
    allowed = tune.abilities if abilities is None else abilities
    notes = [
        note
        for note in tune.harp.notes()
        if not allowed or allowed.issuperset(techniques_of(Sound((note,)), tune.harp))
    ]
    notes.sort(key=lambda note: (tune.harp.midi(note), note.over, note.bend, note.hole))
    scale = scale_of(tune.harp, tune.position)
    pitches = tuple(tune.harp.midi(note) for note in notes)
    return Palette(tune.harp, tuple(notes), pitches, scale, tune.key)


@dataclass(frozen=True, slots=True)
class Chords:
    """The chords under a lick where it is placed."""

    score: Score
    start_bar: int

    def at(self, moment: Fraction) -> Chord | None:
        """The chord at a beat of the lick (from 0 at its bar 1)."""
        beats = self.score.tune.meter.beats
        bar, beat = divmod(moment, beats)
        _, number = self.score.order.place_of(max(self.start_bar + int(bar), 0))
        return self.score.tune.form.chord_at(number, beat + 1)

    def tones_at(self, moment: Fraction) -> frozenset[int]:
        """Pitch classes of the chord, of the key's own where none is known."""
        chord = self.at(moment)
        tune = self.score.tune
        if chord is None:
            third = 3 if tune.minor else 4
            return frozenset((tune.key + step) % 12 for step in (0, third, 7))
        return frozenset((chord.root + step) % 12 for step in chord.intervals)


def placement_of(score: Score, slug: str) -> Placement | None:
    """Where a lick is first placed."""
    return next(
        (p for p in score.order.placements if p.lick is not None and p.lick.lick.slug == slug), None
    )


def chords_of(score: Score, placement: Placement) -> Chords:
    return Chords(score, placement.start - placement.base + 1)


def strong(moment: Fraction, beats: int) -> bool:
    """Whether a note here is heard as resting on the chord."""
    beat = moment % beats
    return beat in (0, 2) if beats == 4 else beat == 0
