"""When every note of a recording sounds in its file, all rounds of a loop included.

Conventions: whole milliseconds from the first sample of the file, rounded to the nearest; notes in
order of time, none overlapping the next. `yours`: the student plays it and no harp is heard. A
note of which less than half lies inside the file is not one of its notes; one that begins before
the file (an early first note of a loop) begins with it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from reedwright.lesson.heard import STUDENTS, Heard
from reedwright.lesson.lines import events_of
from reedwright.performance.playing import Played, Playing
from reedwright.tune.events import Event
from reedwright.tune.order import Placement
from reedwright.tune.place import Score

TRADING = "trading"
"""The kind of recording in which harp and student take turns through the tune."""


@dataclass(frozen=True, slots=True)
class Moment:
    """A note in a file. `turn` counts rounds of a loop, and in each the answer, from 0."""

    event: Event
    start_ms: int
    end_ms: int
    yours: bool
    turn: int = 0


def moments_of(heard: Heard, played: Played) -> tuple[Moment, ...]:
    """The notes of a file, from a performance at its tempo and with its seed. Linear."""
    chosen = _chosen(heard, played)
    found = _round_and_round(heard, chosen) if heard.loops else _through(heard, chosen)
    inside = sorted(found, key=lambda moment: (moment.start_ms, moment.event.start))
    return tuple(_apart(inside))


def count_in_ms(heard: Heard, played: Played) -> tuple[tuple[int, int], ...]:
    """The beats of the count-in, each with its moment; none in a loop or a stem."""
    if not heard.counted:
        return ()
    performance = played.performance
    beats = performance.score.tune.meter.beats
    counted = range(performance.count_in_beats)
    return tuple((beat % beats + 1, _ms(performance.seconds(beat))) for beat in counted)


def _chosen(heard: Heard, played: Played) -> list[tuple[Playing, bool]]:
    """The playings that belong to the file, and whether each is the student's."""
    ids = heard.event_ids
    if heard.lick and ids is None:
        ids = _of_lick(played.performance.score, heard)
    if ids is None or heard.kind == TRADING:
        mine = heard.kind in STUDENTS
        return [(one, mine or (ids is not None and one.id not in ids)) for one in played.playings]
    return [(one, heard.kind in STUDENTS) for one in played.playings if one.id in ids]


def _of_lick(score: Score, heard: Heard) -> frozenset[str]:
    """The sounds of a lick where its recording is cut from."""
    for placement in score.order.placements:
        own = placement.lick is not None and placement.lick.lick.slug == heard.lick
        if own and _first_bar(placement) == heard.first_bar:
            return frozenset(event.id for event in events_of(score, placement))
    return frozenset()


def _first_bar(placement: Placement) -> int:
    return placement.start + max(placement.first - placement.base, 0)


def _through(heard: Heard, chosen: list[tuple[Playing, bool]]) -> Iterator[Moment]:
    for one, yours in chosen:
        yield from _inside(heard, one, heard.tune_offset_s, yours, 0)


def _round_and_round(heard: Heard, chosen: list[tuple[Playing, bool]]) -> Iterator[Moment]:
    """The lick and its answer, half a round later, in every round; what lies before the first bar
    sounds at the end of the round before."""
    half_s = heard.round_s / 2
    for turn in range(2 * heard.rounds + 1):
        yours = turn % 2 == 1
        for one, _ in chosen:
            yield from _inside(heard, one, heard.tune_offset_s + turn * half_s, yours, turn)


def _inside(heard: Heard, one: Playing, shift_s: float, yours: bool, turn: int) -> Iterator[Moment]:
    start_s, end_s = one.played_s + shift_s, one.played_end_s + shift_s
    from_s, to_s = max(start_s, 0.0), min(end_s, heard.length_s)
    if to_s - from_s >= (end_s - start_s) / 2:
        start, end = _ms(from_s), _ms(to_s)
        if end > start:
            yield Moment(one.timed.event, start, end, yours, turn)


def _apart(moments: list[Moment]) -> Iterator[Moment]:
    """The notes, each ended where the next begins; of two at once the first is dropped."""
    for here, after in pairwise(moments):
        if here.start_ms < after.start_ms:
            yield replace(here, end_ms=min(here.end_ms, after.start_ms))
    yield from moments[-1:]


def _ms(seconds: float) -> int:
    return round(seconds * 1000)
