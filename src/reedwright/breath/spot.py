"""Where a breath sits best in the music: the places a mend allows, and how far each carries.

Conventions: a spot lies after one segment; a rest there is extra time, on top of what is written.
Every place of a mend's run needs the same least rest, so the music decides: a rest already there,
else the end of a lick, else a bar line, else anywhere; among equals the one nearest to the
trouble, since it also serves what follows. Source: common practice of phrasing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum

from reedwright.breath.ledger import Ledger, Segment, playable_onward, reachable, shifts_of
from reedwright.breath.lungs import Lungs
from reedwright.breath.mend import Rest
from reedwright.tune.place import Score


class Fit(IntEnum):
    """How well a breath sits at a spot, better ones greater. The count-in comes last: it is no
    part of the music, and one more breath there is only ever what is left."""

    COUNT_IN = 0
    NOTE = 1
    BAR = 2
    LICK = 3
    REST = 4


@dataclass(frozen=True, slots=True)
class Spot:
    """A breath of `least_s` extra seconds after the segment `index` gets past the trouble; one of
    `carrying_s` carries as far as any breath there can, to before the segment `reach` (None: to
    the end). `event` is the place of its event in the score, -1 for the count-in."""

    index: int
    event: int
    fit: Fit
    least_s: float
    carrying_s: float
    reach: int | None


def best_spot(
    rest: Rest, ledger: Ledger, air: Sequence[Segment], lungs: Lungs, score: Score
) -> Spot:
    """The best place of a mend's run. Linear in the segments."""
    places = {event.id: number for number, event in enumerate(score.events)}
    starts = frozenset(
        placement.start * score.tune.meter.beats for placement in score.order.placements
    )
    run = range(rest.earliest_index, rest.index + 1)
    fit, index = max((_fit(air[index].label, places, starts, score), index) for index in run)
    carrying_s, reach = _carries(index, rest, ledger, air, lungs)
    return Spot(
        index,
        places.get(air[index].label, -1),
        fit,
        rest.duration_s,
        max(carrying_s, rest.duration_s),
        reach,
    )


def _fit(label: str, places: Mapping[str, int], starts: frozenset[int], score: Score) -> Fit:
    number = places.get(label, -1)
    if number < 0:
        return Fit.COUNT_IN
    event = score.events[number]
    if number + 1 < len(score.events):
        following = score.events[number + 1]
        if following.start > event.end:
            return Fit.REST
        if following.lick != event.lick:
            return Fit.LICK
    if event.end in starts:  # the same lick once more
        return Fit.LICK
    return Fit.BAR if event.end % score.tune.meter.beats == 0 else Fit.NOTE


def _carries(
    index: int, rest: Rest, ledger: Ledger, air: Sequence[Segment], lungs: Lungs
) -> tuple[float, int | None]:
    """Seconds of breath after a segment that carry as far as possible, and how far that is."""
    shifts, limits = shifts_of(air, lungs), ledger.limits
    lows, _, failed = reachable(shifts, limits, (limits.low_l, limits.high_l), index + 1)
    end = index + len(lows)  # as many segments can be over
    onward_low, onward_high, _ = playable_onward(shifts, limits, end)
    done = index + 1
    if rest.breath == "out":
        seconds = (ledger.low_l[done] - onward_high[done]) / lungs.breathe_out_l_per_s
    else:
        seconds = (onward_low[done] - ledger.high_l[done]) / lungs.breathe_in_l_per_s
    return seconds, None if failed is None else end
