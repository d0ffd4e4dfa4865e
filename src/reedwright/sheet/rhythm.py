"""From exact events to notated rhythm: bars of notes and rests with values, ties, tuplets, beams.

Conventions: inside a bar time is counted in whole ticks, `beat_ticks` to a counted beat, chosen so
that everything in the score falls on one. A pickup bar begins with the beat in which its first
note falls. Swing is not written out. How a bar is written: see `barpattern`.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import lcm

from reedwright.sheet.barpattern import Piece, Span, pattern
from reedwright.tune.place import Score


@dataclass(frozen=True, slots=True)
class NotatedBar:
    """A bar of the tune (`bar` from 0, −1 for the pickup), written from `first_beat` (from 0).

    `events[piece.span]` is the index of the event a piece belongs to, −1 for a rest.
    """

    bar: int
    first_beat: int
    pieces: tuple[Piece, ...]
    events: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Rhythm:
    """A score as written. `divisions` are ticks in a quarter note."""

    beat_ticks: int
    divisions: int
    bars: tuple[NotatedBar, ...]


def notate(score: Score) -> Rhythm:
    """The rhythm of a score. Errors: SheetError for a beat split too finely to be written."""
    meter = score.tune.meter
    ticks = _beat_ticks(score)
    bars = _Bars(score, ticks).filled()
    return Rhythm(
        ticks,
        2 * ticks // 3 if meter.compound else ticks,
        tuple(
            NotatedBar(
                bar,
                spans[0].start // ticks,
                pattern(tuple(spans), meter.beats, meter.compound, ticks),
                tuple(events),
            )
            for bar, spans, events in bars
        ),
    )


def _beat_ticks(score: Score) -> int:
    found = {2, 3 if score.tune.meter.compound else 1}
    for event in score.events:
        found.add(event.start.denominator)
        found.add(event.length.denominator)
    for bar in score.tune.form.bars:
        found.update(span.start.denominator for span in bar)
    return lcm(*found)


class _Bars:
    """Events and the rests between them, cut at the bar lines."""

    def __init__(self, score: Score, ticks: int) -> None:
        self._events = score.events
        self._ticks = ticks
        self._bar_ticks = ticks * score.tune.meter.beats
        first = self._events[0].start // 1 if self._events else 0
        last = -(-self._events[-1].end // 1) if self._events else 0
        self._begin = min(first, 0) * ticks
        self._low = self._begin // self._bar_ticks
        self._high = max(score.bars, 1, -(-last // score.tune.meter.beats))
        self._bars: list[tuple[int, list[Span], list[int]]] = [
            (bar, [], []) for bar in range(self._low, self._high)
        ]

    def filled(self) -> list[tuple[int, list[Span], list[int]]]:
        """For each bar its spans, without gaps, and the event of each (−1: a rest)."""
        ticks, at = self._ticks, self._begin
        for index, event in enumerate(self._events):
            start = event.start.numerator * (ticks // event.start.denominator)
            if start > at:
                self._fill(at, start, -1)
            at = start + event.length.numerator * (ticks // event.length.denominator)
            self._fill(start, at, index)
        self._fill(at, self._high * self._bar_ticks, -1)
        return self._bars

    def _fill(self, start: int, stop: int, index: int) -> None:
        at = start
        while at < stop:
            bar = at // self._bar_ticks
            base = bar * self._bar_ticks
            cut = min(stop, base + self._bar_ticks)
            _, spans, events = self._bars[bar - self._low]
            spans.append(Span(at - base, cut - base, index < 0, at == start, cut == stop))
            events.append(index)
            at = cut
