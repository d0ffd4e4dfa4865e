"""Which of the harp's sounds are heard in a recording: a lick's, a chord rhythm's, or those of one
side of a trade.

Conventions: bars count from 0 at bar 1 of the first chorus; sounds are named by their event ids.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from reedwright.tune.events import Event
from reedwright.tune.order import Placement
from reedwright.tune.place import Score
from reedwright.tune.values import slug

TRADE_BARS = 4
"""Bars that the harp plays, and leaves, in turn (common practice)."""


@dataclass(frozen=True, slots=True)
class Extent:
    """Bars of a lick where it is first placed whole, and the ids of its sounds there."""

    slug: str
    name: str
    first_bar: int
    bars: int
    event_ids: frozenset[str]


def extents(score: Score) -> Iterator[Extent]:
    """Each lick that is placed and sounds, in the order written."""
    first: dict[str, tuple[bool, Placement]] = {}
    for placement in score.order.placements:
        if placement.lick is not None:
            name = placement.lick.lick.slug
            cut = _is_cut(placement)
            if name not in first or (first[name][0] and not cut):
                first[name] = cut, placement
    by_lick: dict[str, list[tuple[Fraction, str]]] = {}
    for event in score.events:
        by_lick.setdefault(slug(event.lick), []).append((event.start, event.id))
    beats = score.tune.meter.beats
    for name in score.tune.licks:
        if name not in first:
            continue
        placement = first[name][1]
        start = (placement.start + placement.first - placement.base) * beats
        end = placement.end * beats
        ids = frozenset(i for at, i in by_lick.get(name, ()) if start <= at < end)
        if ids:
            begin = placement.start + max(placement.first - placement.base, 0)
            lick = score.tune.licks[name].lick
            yield Extent(name, lick.name, begin, max(placement.end - begin, 1), ids)


def _is_cut(placement: Placement) -> bool:
    lick = placement.lick
    entry = placement.entry
    whole = lick is not None and (placement.first, placement.last) == (lick.first, lick.last)
    return not whole or entry.from_beat is not None or entry.to_beat is not None


def chord_rhythm(score: Score) -> frozenset[str]:
    """Ids of the sounds of licks that are mostly chords: two or more holes side by side."""
    counts: dict[str, list[int]] = {}
    for event in score.events:
        holes = [note.hole for note in event.sound.notes]
        chord = len(holes) > 1 and holes[-1] - holes[0] + 1 == len(holes)
        count = counts.setdefault(event.lick, [0, 0])
        count[0] += chord
        count[1] += 1
    mostly = {lick for lick, (chords, sounds) in counts.items() if 2 * chords > sounds}
    return frozenset(event.id for event in score.events if event.lick in mostly)


def traded(score: Score) -> frozenset[str]:
    """Ids of the sounds the harp plays when it leaves every other four bars to the student: bars 1
    to 4 of a chorus, 9 to 12 and so on; in every second chorus the others. A pickup belongs to the
    bars it leads into. Empty when that leaves the student nothing."""
    beats = score.tune.meter.beats
    bars = [(event.id, int(event.start // beats) + _is_pickup(event)) for event in score.events]
    mine = frozenset(identity for identity, bar in bars if _teachers(score, bar))
    return mine if len(mine) < len(bars) else frozenset()


def _is_pickup(event: Event) -> bool:
    """Whether it was written in bar 0 of its lick, as its id says."""
    return event.id.rpartition(":")[2].startswith("0.")


def _teachers(score: Score, bar: int) -> bool:
    chorus, number = score.order.place_of(bar)
    return ((number - 1) // TRADE_BARS + chorus - 1) % 2 == 0
