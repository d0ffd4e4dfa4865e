"""Small melodies for tests."""

from __future__ import annotations

from fractions import Fraction

from reedwright.fit.melody import Melody, MelodyNote


def melody(*pitches: int, length: Fraction | int = 1, **known: object) -> Melody:
    """Single notes one after the other, each so many beats long."""
    step = Fraction(length)
    notes = tuple(MelodyNote(at * step, step, (pitch,)) for at, pitch in enumerate(pitches))
    return Melody(notes, **known)  # type: ignore[arg-type]
