"""Friendly words for places, times and rests, as the breath findings use them.

Conventions: bars and beats as people count them; the chorus is named only where there are more
than one. Seconds and beats of a rest are rounded up, so that what is advised is enough.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from reedwright.breath.spot import Fit, Spot
from reedwright.tune.events import Event
from reedwright.tune.findings import spoken_beat
from reedwright.tune.place import Score

_SLACK = 1e-6  # rounding of floats is not worth another tenth of a second


def tempo_words(tempo_bpm: Fraction) -> str:
    return f"at {float(tempo_bpm):g} beats a minute"


def bar_words(score: Score, time_s: float, tempo_bpm: Fraction) -> str:
    """The bar that sounds at a moment of the performance: `bar 7 of chorus 2`, `the pickup`.

    Swing never moves a bar line, so straight counting finds it.
    """
    beats = score.tune.meter.beats
    bar = math.floor(time_s * float(tempo_bpm) / 60 / beats) - score.tune.count_in_bars
    chorus, number = score.order.place_of(min(bar, score.bars - 1))
    return f"bar {number}" + _of_chorus(score, chorus) if number else "the pickup"


def note_words(score: Score, event: Event) -> str:
    """`bar 2 beat 3 &`."""
    beat = f"beat {spoken_beat(event.beat)}"
    if event.bar == 0:
        return f"{beat} of the pickup"
    return f"bar {event.bar} {beat}" + _of_chorus(score, event.chorus)


def seconds_words(seconds: float, up: bool = True) -> str:
    """`0.3 seconds`, in tenths, never none; `up` rounds up, else down."""
    tenths = math.ceil(seconds * 10 - _SLACK) if up else math.floor(seconds * 10 + _SLACK)
    return f"{max(tenths, 1) / 10:g} second{'s' * (tenths != 10)}"


def rest_words(seconds: float, tempo_bpm: Fraction) -> str:
    """`0.3 seconds (half a beat)`: rounded up to halves."""
    halves = max(math.ceil(seconds * float(tempo_bpm) / 30 - _SLACK), 1)
    whole, half = divmod(halves, 2)
    beats = f"{whole}{'½' * half} beat{'s' * (halves > 2)}" if whole else "half a beat"
    return f"{seconds_words(seconds)} ({beats})"


def spot_words(score: Score, spot: Spot, tempo_bpm: Fraction, breath: str) -> str:
    """What to do at a spot: `add a rest of … after the note on bar 2 beat 4, where Call ends`."""
    least = rest_words(spot.least_s, tempo_bpm)
    if spot.fit is Fit.COUNT_IN:
        return f"breathe {breath} for {least} more before you begin"
    event = score.events[spot.event]
    where = f"after the note on {note_words(score, event)}"
    if spot.fit is Fit.REST:
        return f"lengthen the rest {where} by {least} and breathe {breath} there"
    ends = {Fit.LICK: f", where {event.lick} ends,", Fit.BAR: ", the last of its bar,"}
    return f"add a rest of {least} {where}{ends.get(spot.fit, '')} and breathe {breath} there"


def listed(words: Sequence[str], most: int) -> str:
    """`a`, `a and b`, `a, b and c`, `a, b and 3 more`."""
    shown = list(words[:most])
    if len(words) > most:
        shown.append(f"{len(words) - most} more")
    *first, last = shown
    return f"{', '.join(first)} and {last}" if first else last


def _of_chorus(score: Score, chorus: int) -> str:
    return f" of chorus {chorus}" if len(score.order.chorus_starts) > 1 else ""
