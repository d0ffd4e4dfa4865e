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
from itertools import pairwise

from reedwright.lesson.lines import ticks
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
    events: Sequence[Event], bar_beats: int, weights: Mapping[str, float]
) -> tuple[Place, ...]:
    """The places between the notes of a line: `places[k - 1]` is place k. Linear."""
    return tuple(_place(pair, bar_beats, weights) for pair in pairwise(events))


def _place(pair: tuple[Event, Event], bar_beats: int, weights: Mapping[str, float]) -> Place:
    before, event = pair
    start, length = ticks(event.start), ticks(before.length)
    end = ticks(before.start) + length
    rest_beats, held_beats = (start - end) / TICKS, length / TICKS
    stops: list[Stop] = []
    points = weights["cut"]
    if start > end:
        stops.append(Stop.REST)
        points -= weights["rest"] * min(1.0, rest_beats / weights["full-rest-beats"])
    if held_beats >= weights["held-beats"]:
        stops.append(Stop.HELD)
        points -= weights["held"] * min(1.0, held_beats / weights["full-held-beats"])
    if _between(end, start, bar_beats * TICKS):
        stops.append(Stop.BAR)
        points -= weights["bar"]
    elif _between(end, start, TICKS):
        stops.append(Stop.BEAT)
        points -= weights["beat"]
    if event.sound.breath is not before.sound.breath:
        stops.append(Stop.TURN)
        points -= weights["turn"]
    return Place(tuple(stops), round(max(0.0, points) * POINT))


def _between(first: int, last: int, step: int) -> bool:
    """Whether a multiple of `step` lies from `first` to `last`, both included."""
    return -(-first // step) * step <= last
