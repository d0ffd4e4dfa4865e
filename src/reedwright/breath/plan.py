"""A breathing plan: one way to breathe through the tune, and its curve.

Conventions: litres above residual volume after each segment; `breathed_l` is what goes in
(positive) or out (negative) past the harp in each open segment, and 0 for notes. It is the net
of that segment.

The rule, the same for every tune: in an open segment stay where you are while that lies in the
band of easy breathing; otherwise go towards the band as far as the rates allow; but never to a
volume from which the rest of the tune cannot be played. The last part looks ahead to the end of
the tune through the volumes found backwards, so it breathes out long before a long draw.
Precision: rates are kept to rounding, limits to `TOLERANCE_L`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from reedwright.breath.ledger import (
    TOLERANCE_L,
    Ledger,
    Segment,
    keep_ledger,
    playable_onward,
    shifts_of,
)
from reedwright.breath.lungs import Limits, Lungs
from reedwright.breath.margin import comfort


@dataclass(frozen=True, slots=True)
class Plan:
    """Volumes after 0, 1, 2 … segments, the corridor that every plan within the limits keeps to,
    and the air breathed in each segment."""

    limits: Limits
    volume_l: tuple[float, ...]
    low_l: tuple[float, ...]
    high_l: tuple[float, ...]
    breathed_l: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """Straight lines between the points stay inside what is possible."""

    time_s: float
    low_l: float
    high_l: float
    planned_l: float | None


def breathing_plan(segments: Sequence[Segment], lungs: Lungs, limits: Limits) -> Plan | None:
    """A plan within the limits, or None where there is none."""
    ledger = keep_ledger(segments, lungs, limits)
    if ledger.failure is not None:
        return None
    shifts = shifts_of(segments, lungs)
    onward_low, onward_high, _ = playable_onward(shifts, limits, len(segments))
    lows = tuple(map(max, ledger.low_l, onward_low))
    highs = tuple(map(min, ledger.high_l, onward_high))
    volume_l = lungs.start_l
    volumes, breathed = [volume_l], []
    for done, segment in enumerate(segments, start=1):
        least_l, most_l = shifts[done - 1]
        if segment.kind == "open":
            wish_l = min(max(volume_l, lungs.easy_low_l), lungs.easy_high_l)
            wish_l = min(max(wish_l, lows[done]), highs[done])
            breath_l = min(max(wish_l - volume_l, least_l), most_l)  # rates have the last word
            volume_l += breath_l
        else:
            breath_l = 0.0
            volume_l += least_l
        breathed.append(breath_l)
        volumes.append(volume_l)
    return Plan(limits, tuple(volumes), lows, highs, tuple(breathed))


def easiest_plan(segments: Sequence[Segment], lungs: Lungs) -> Plan | None:
    """The plan within the comfortable limits, or as near to them as the tune allows; None when
    even the hard limits leave none."""
    nearest = comfort(segments, lungs)
    if nearest < 1.0:
        nearest -= TOLERANCE_L  # a hair inside, so that rounding does not take the plan away
    if nearest > 0.0:
        plan = breathing_plan(segments, lungs, lungs.limits(nearest))
        if plan is not None:
            return plan
    return breathing_plan(segments, lungs, lungs.hard)


def curve(segments: Sequence[Segment], ledger: Ledger, plan: Plan | None) -> Iterator[CurvePoint]:
    """Points to draw, one before the first segment and one after each: the plan and its corridor,
    or without a plan the possible volumes up to the failure."""
    lows, highs = (plan.low_l, plan.high_l) if plan else (ledger.low_l, ledger.high_l)
    time_s = 0.0
    for done, (low_l, high_l) in enumerate(zip(lows, highs, strict=True)):
        if done:
            time_s += segments[done - 1].duration_s
        yield CurvePoint(time_s, low_l, high_l, plan.volume_l[done] if plan else None)
