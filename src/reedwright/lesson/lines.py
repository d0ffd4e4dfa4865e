"""The lines of a lesson: each lick once, as it sounds where it is placed.

Conventions: a lick is taught where most of it is left in, the first of equals: a lick that is cut
short the first time and whole later is learned whole. Its notes are the events of that placement,
so ids, bars and beats are those of the sheet and the sound. A lick that is never placed, or holds
rests only, has a line without events. Lines come in the order in which the licks are written.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from operator import add

from reedwright.tune.events import Event
from reedwright.tune.order import Placement
from reedwright.tune.place import Score
from reedwright.tune.ticks import TICKS


@dataclass(frozen=True, slots=True)
class LickLine:
    """A lick to learn. `slug` names it in ids and files; `placement` is None when it never
    sounds; `placings` counts how often it is placed, cut or whole."""

    lick: str
    slug: str
    placement: Placement | None
    placings: int
    events: tuple[Event, ...]


def lick_lines(score: Score) -> tuple[LickLine, ...]:
    """Every lick of the tune, in the order written. Linear in placements and in the notes taught.

    Errors: none; a score that was placed has all that is needed.
    """
    beats = score.tune.meter.beats
    fullest: dict[str, tuple[int, Placement]] = {}
    placings: dict[str, int] = {}
    for placement in score.order.placements:
        if placement.lick is not None:
            slug = placement.lick.lick.slug
            left_in = _beats_left_in(placement, beats)
            placings[slug] = placings.get(slug, 0) + 1
            if slug not in fullest or left_in > fullest[slug][0]:
                fullest[slug] = (left_in, placement)
    lines: list[LickLine] = []
    for slug, full in score.tune.licks.items():
        chosen = fullest[slug][1] if slug in fullest else None
        events = () if chosen is None else events_of(score, chosen)
        lines.append(LickLine(full.lick.name, slug, chosen, placings.get(slug, 0), events))
    return tuple(lines)


def events_of(score: Score, placement: Placement) -> tuple[Event, ...]:
    """The sounds of one placement of a lick, in order of time.

    Where two placements of one lick meet (a pickup sounds in the last bar of the one before), an
    event belongs to the one whose bar it was written in.
    """
    lick, beats = placement.lick, score.tune.meter.beats
    if lick is None:
        return ()
    first_bar = placement.start + placement.first - placement.base
    inside = _between(score.events, first_bar * beats, placement.end * beats)
    found: list[Event] = []
    for event in inside:
        if event.lick == lick.lick.name:
            bar = event.start.numerator // (event.start.denominator * beats)
            written = lick.bar(bar - placement.start + placement.base)
            if event.id.startswith(f"{written.origin}:{written.bar.number}."):
                found.append(event)
    return tuple(found)


def ticks(beats: Fraction) -> int:
    """Exact counted beats of an event as whole ticks (see `tune.ticks`).

    >>> ticks(Fraction(1, 3)) * 3 == TICKS
    True
    """
    return beats.numerator * (TICKS // beats.denominator)


Spans = tuple[list[int], list[int]]
"""Starts and ends of notes, in ticks."""


def spans_of(events: Sequence[Event]) -> Spans:
    """When each event starts and ends, in ticks from bar 1 of the first chorus."""
    starts = [ticks(event.start) for event in events]
    lengths = [ticks(event.length) for event in events]
    return starts, list(map(add, starts, lengths))


def _between(events: Sequence[Event], start: int, end: int) -> Sequence[Event]:
    """The events that start from beat `start` on and before beat `end`."""
    first = bisect_left(events, Fraction(start), key=_start)
    return events[first : bisect_left(events, Fraction(end), first, key=_start)]


def _start(event: Event) -> Fraction:
    return event.start


def _beats_left_in(placement: Placement, beats: int) -> int:
    cut = placement.entry
    left = (placement.last - placement.first + 1) * beats
    if cut.from_beat is not None and cut.from_bar == placement.first:
        left -= cut.from_beat - 1
    if cut.to_beat is not None:
        left -= beats - cut.to_beat
    return left
