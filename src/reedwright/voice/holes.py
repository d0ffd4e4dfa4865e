"""The hole that a tab note finds on its harp.

Conventions: see `values`. The closing reed is the one of the note's breath, as tuned; with a valve
before the other reed, or two reeds of one pitch, it is alone.
"""

from __future__ import annotations

import math

from reedwright.harp.harp import Harp
from reedwright.harp.law import higher_breath
from reedwright.harp.note import TabNote
from reedwright.harp.tuning import Valves
from reedwright.voice.values import MOST_INTERVAL, Hole


def hole_of(harp: Harp, note: TabNote) -> Hole:
    """The two reeds that a note sounds with."""
    closing_hz = harp.hertz(note.natural())
    return Hole(round(closing_hz, 3), _interval(harp, note), note.over)


def target_cents(harp: Harp, note: TabNote) -> float:
    """A note's pitch above its closing reed."""
    return 1200 * math.log2(harp.hertz(note) / harp.hertz(note.natural()))


def _interval(harp: Harp, note: TabNote) -> int:
    tuning = harp.tuning
    higher = higher_breath(tuning, note.hole)
    valved = tuning.valves is Valves.HALF and higher is not note.breath
    if tuning.valves is Valves.ALL or valved:
        return 0
    other = TabNote(note.hole, note.breath.other, button=note.button)
    semitones = harp.midi(other) - harp.midi(note.natural())
    return max(-MOST_INTERVAL, min(MOST_INTERVAL, semitones))
