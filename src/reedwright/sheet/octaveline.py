"""Octave lines (8va): bars that lie high above the staff, written an octave lower under a line.

Conventions: pitches of the score stay sounding pitches, as MusicXML wants them; only what is
engraved moves. A run is made of whole bars of one line of music, each of them with a note, all of
whose notes lie at `LOWEST` or above and one at `HIGHEST` or above, so that a short trip upwards
keeps its ledger lines. No tie crosses either end. Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from reedwright.sheet.barpattern import Piece
from reedwright.sheet.pitches import Pitches
from reedwright.sheet.rhythm import NotatedBar, Rhythm
from reedwright.sheet.scorehead import clef_octave
from reedwright.sheet.xmlwriter import direction
from reedwright.tune.place import Score

LOWEST, HIGHEST = 79, 88
"""G5, which stands on the staff, and E6, the third ledger line above it (MIDI); chosen by eye: from
E6 on a reader has to count lines, and G5 an octave down is still inside the staff. Under an octave
clef both move with it."""

START = direction('<octave-shift type="down" size="8"/>')
STOP = direction('<octave-shift type="stop" size="8"/>')


class OctaveLines:
    """Where octave lines begin and end: before and after which piece of which bar."""

    def __init__(self, score: Score, rhythm: Rhythm, bars_per_line: int) -> None:
        self._pitches = Pitches(score)
        self._events = score.events
        self._order, self._per_line = score.order, bars_per_line
        shift = 12 * clef_octave(score)
        self._lowest, self._highest = LOWEST + shift, HIGHEST + shift
        self.starts: dict[int, Piece] = {}
        self.stops: dict[int, Piece] = {}
        for run in self._runs(rhythm.bars):
            self.starts[run[0].bar] = _sounding(run[0])[0]
            self.stops[run[-1].bar] = _sounding(run[-1])[-1]

    def _runs(self, bars: Sequence[NotatedBar]) -> list[list[NotatedBar]]:
        runs: list[list[NotatedBar]] = [[]]
        for bar in bars:
            high = self._is_high(bar)
            if not high or self._begins_line(bar.bar):
                runs.append([])
            if high:
                runs[-1].append(bar)
        untied = [_without_ties(run) for run in runs]
        return [run for run in untied if any(self._top(bar) >= self._highest for bar in run)]

    def _begins_line(self, bar: int) -> bool:
        chorus, _ = self._order.place_of(bar)
        return bar > 0 and (bar - self._order.chorus_starts[chorus - 1]) % self._per_line == 0

    def _is_high(self, bar: NotatedBar) -> bool:
        heard = [self._pitches.midis(self._events[at])[0] for at in bar.events if at >= 0]
        return bool(heard) and min(heard) >= self._lowest

    def _top(self, bar: NotatedBar) -> int:
        return max(self._pitches.midis(self._events[at])[-1] for at in bar.events if at >= 0)


def _sounding(bar: NotatedBar) -> list[Piece]:
    return [piece for piece in bar.pieces if not piece.rest]


def _without_ties(run: list[NotatedBar]) -> list[NotatedBar]:
    """The run without bars at its ends that are tied to what lies outside it."""
    while run and not _sounding(run[0])[0].starts:
        run = run[1:]
    while run and not _sounding(run[-1])[-1].ends:
        run = run[:-1]
    return run
