"""Pitch bend of a MIDI channel, as whole semitones a note sounds off its key.

Conventions: semitones, up is positive; the range is 2 each way unless registered parameter 0 sets
another. A note has the bend that is in force for most of it, rounded: a slide into a note leaves it
where it arrives. Source: the MIDI 1.0 specification.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter

_FULL = 8192  # of the wheel to each side
_USUAL_RANGE = 2
_MOST_TURNS = 64
"""Turns looked at within one note; a curve of more has long been where it arrives (from memory)."""


class Wheel:
    """One channel's pitch bend over time."""

    def __init__(self) -> None:
        self._range = _USUAL_RANGE
        self._parameter = [127, 127]  # registered parameter: coarse and fine number
        self._moments = [-1]
        self._bends = [0]

    def control(self, number: int, value: int) -> None:
        """A control change: registered parameter 0 is the range."""
        if number in (101, 100):
            self._parameter[101 - number] = value
        elif number == 6 and self._parameter == [0, 0]:
            self._range = min(value, 48)

    def turn(self, now: int, pitch: int) -> None:
        """A pitch-bend message; moments come in order."""
        bend = round(pitch * self._range / _FULL)
        if bend != self._bends[-1]:
            self._moments.append(now)
            self._bends.append(bend)

    def bend(self, start: int, end: int) -> int:
        """The bend in force for most of a time, the first of equals."""
        if len(self._bends) == 1:
            return 0
        at = bisect_right(self._moments, start) - 1
        lasted: Counter[int] = Counter()
        for place in range(at, min(at + _MOST_TURNS, len(self._bends))):
            begin = max(self._moments[place], start)
            stop = self._moments[place + 1] if place + 1 < len(self._moments) else end
            if begin >= end:
                break
            lasted[self._bends[place]] += min(stop, end) - begin
        return lasted.most_common(1)[0][0] if lasted else self._bends[at]
