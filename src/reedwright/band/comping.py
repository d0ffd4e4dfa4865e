"""The guitar and the keyboard: chords struck as a row of the style says.

Conventions: see `session` and `voicing`. Both are silent in a tune without a form, whose chords
nobody knows. A chord that sounds across a change of chord is struck anew there.
"""

from __future__ import annotations

from collections.abc import Iterator

from reedwright.band.session import Session, chord_under, note
from reedwright.band.values import BandBar, BandNote, Part
from reedwright.band.voicing import Voicings

SHIFTS = (-2, 0, 2)
"""Semitones from the middle of the range to the hand's home in a chorus; from memory."""


def comping(session: Session, bar: BandBar, part: Part, voicings: Voicings) -> Iterator[BandNote]:
    """What the guitar or the keyboard plays in one bar."""
    paused = session.paused(bar)
    if not bar.chords or paused:
        return
    dice = session.dice(bar, part)
    choice = dice.randrange(6)
    shift = SHIFTS[session.of_chorus(bar, part, len(SHIFTS))]
    one = bar.last or paused == 0
    for slot in (session.hit(bar),) if one else session.struck(part, bar, dice):
        chord = chord_under(bar, slot.start)
        if chord is not None:
            level = session.level(bar, slot.sign, dice)
            start = slot.start + bar.start
            for midi in voicings.voicing(part, chord, choice, shift):
                yield note(part, bar, slot, start, midi, level)
