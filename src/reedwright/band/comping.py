"""The guitar and the keyboard: chords struck as a row of the style says.

Conventions: see `session` and `voicing`. Both are silent in a tune without a form, whose chords
nobody knows. A chord that sounds across a change of chord is struck anew there.
"""

from __future__ import annotations

from collections.abc import Iterator

from reedwright.band.patterns import slots, struck_again
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
    shift = session.chorus_dice(bar, part).choice(SHIFTS)
    if bar.last or paused == 0:
        struck = [session.hit(bar)]
    else:
        row = session.row(part, bar, dice)
        starts = [start for start, _ in bar.chords]
        struck = list(session.sounds(slots(row, session.compound), dice))
        struck = list(struck_again(struck, starts))
    for slot in struck:
        chord = chord_under(bar, slot.start)
        if chord is not None:
            level = session.level(bar, slot.sign, dice)
            for midi in voicings.voicing(part, chord, choice, shift):
                yield note(part, bar, slot, midi, level)
