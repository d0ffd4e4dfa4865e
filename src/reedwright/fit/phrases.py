"""Where a melody is cut into licks: at bar lines, where a player can stop.

Conventions: bars count from 1 (0: the pickup, which stays with bar 1). A cut before a bar costs
little after a rest, more after a long note, most after a short one, and cannot be made through a
note that sounds on. Licks of four bars are best, of two and three good, of more than `MOST_BARS`
bad. The cuts are those of least cost, found exactly; of equals the earliest. Weights: from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from reedwright.fit.melody import Melody

MOST_BARS = 4
_AFTER_REST, _AFTER_LONG, _AFTER_SHORT = 0.0, 1.0, 3.0
_LENGTHS = {1: 3.0, 2: 1.0, 3: 1.5, 4: 0.0}
_TOO_LONG = 6.0  # for each bar beyond MOST_BARS
_REST = Fraction(1, 2)  # beats of silence before the bar line that count as a rest
_LONG = Fraction(3, 2)  # beats of a note that count as long


def phrase_starts(melody: Melody, bars: int, forced: Sequence[int] = ()) -> tuple[int, ...]:
    """The bars at which licks begin, bar 1 first; `forced` are always among them."""
    cost = _cut_costs(melody, bars)
    for bar in forced:
        cost[bar] = 0.0
    best: list[tuple[float, int]] = [(0.0, 0)] * (bars + 2)  # by the bar a lick ends before
    for end in range(2, bars + 2):
        choices = []
        for start in range(end - 1, 0, -1):
            if start in cost or start == 1:
                length = end - start
                long = _TOO_LONG * (length - MOST_BARS)
                own = _LENGTHS.get(length, 0.0) + max(0.0, long) + cost.get(start, 0.0)
                choices.append((best[start][0] + own, start))
            if start in forced or (end - start > 4 * MOST_BARS and choices):
                break
        best[end] = min(choices)
    starts = []
    end = bars + 1
    while end > 1:
        end = best[end][1]
        starts.append(end)
    return tuple(reversed(starts))


def _cut_costs(melody: Melody, bars: int) -> dict[int, float]:
    """What a cut before each bar costs; bars that cannot be cut before are left out."""
    beats = melody.meter.beats
    costs = {}
    at = 0
    for bar in range(2, bars + 1):
        line = Fraction((bar - 1) * beats)
        while at < len(melody.notes) and melody.notes[at].start < line:
            at += 1
        before = melody.notes[at - 1] if at else None
        if before is None or line - before.end >= _REST:
            costs[bar] = _AFTER_REST
        elif before.end <= line:
            costs[bar] = _AFTER_LONG if before.length >= _LONG else _AFTER_SHORT
    return costs
