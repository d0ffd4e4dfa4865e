"""Where a student can stop: what speaks for a cut before a note, and what the cut costs.

Conventions: a line of n notes has places 1 … n - 1, place k before note k (from 0). Times in ticks
(see `tune.ticks`). Costs are whole thousandths of a point, so that sums are exact and equal costs
are equal; a cut costs `cut` less what makes it easy, and never less than nothing:

    cut - rest · min(1, R / full-rest-beats) - held · min(1, H / full-held-beats)   [H ≥ held-beats]
        - bar [a bar line between the two notes] or beat [a beat there] - turn [the breath turns]

R: silence before the note, H: length of the note before it, in counted beats. A bar line or a beat
counts where it falls on the note, on the end of the one before, or in the silence between.
Source: common practice for what makes a stop, from memory for the weights (`data/lesson.toml`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from reedwright.lesson.lines import Spans
from reedwright.tune.events import Event
from reedwright.tune.ticks import TICKS

POINT = 1000
"""Thousandths in a point."""


class Stop(StrEnum):
    """What makes a place one to stop at; `TEACHER` and `SIZE` say why it was cut, too."""

    REST = "rest"
    HELD = "held note"
    BAR = "bar line"
    BEAT = "beat"
    TURN = "breath turn"
    TEACHER = "teacher"
    SIZE = "size"
    END = "end of the lick"


@dataclass(frozen=True, slots=True)
class Place:
    """A place between two notes: what speaks for a stop there, and its cost in thousandths."""

    stops: tuple[Stop, ...]
    cost: int


def places_of(
    events: Sequence[Event], spans: Spans, bar_beats: int, weights: Mapping[str, float]
) -> tuple[Place, ...]:
    """The places between the notes of a line, `spans` being theirs: `places[k - 1]` is place k.
    Linear."""
    starts, ends = spans
    breaths = [event.sound.breath for event in events]
    return tuple(
        _place(
            (starts[k - 1], ends[k - 1], starts[k]),
            breaths[k] is not breaths[k - 1],
            bar_beats * TICKS,
            weights,
        )
        for k in range(1, len(events))
    )


def _place(
    times: tuple[int, int, int], turns: bool, bar: int, weights: Mapping[str, float]
) -> Place:
    """`times`: start and end of the note before the place, and start of the one after it."""
    began, end, start = times
    held_beats = (end - began) / TICKS
    stops: list[Stop] = []
    points = weights["cut"]
    if start > end:
        stops.append(Stop.REST)
        points -= weights["rest"] * min(1.0, (start - end) / TICKS / weights["full-rest-beats"])
    if held_beats >= weights["held-beats"]:
        stops.append(Stop.HELD)
        points -= weights["held"] * min(1.0, held_beats / weights["full-held-beats"])
    if _between(end, start, bar):
        stops.append(Stop.BAR)
        points -= weights["bar"]
    elif _between(end, start, TICKS):
        stops.append(Stop.BEAT)
        points -= weights["beat"]
    if turns:
        stops.append(Stop.TURN)
        points -= weights["turn"]
    return Place(tuple(stops), round(max(0.0, points) * POINT))


def _between(first: int, last: int, step: int) -> bool:
    """Whether a multiple of `step` lies from `first` to `last`, both included."""
    return -(-first // step) * step <= last
