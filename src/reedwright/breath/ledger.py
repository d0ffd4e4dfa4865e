"""The ledger of air: which lung volumes are possible after each segment of a tune.

Conventions: a tune is a sequence of segments. A draw adds `flow · duration` to the lungs, a blow
takes it away, and in an open segment (a rest, or the gap before a turn) the player lets air in or
out as they like within the lungs' rates. So each segment changes the volume by something between
two numbers, its *shift*, and the volumes that can be reached form an interval; it is carried
through exactly and cut to the limits after each segment. That is enough inside a segment too,
since the air of a note runs one way only and a breath can go straight. The start volume is stated,
not chosen, and is itself not held against the limits. Index k counts from 0; volumes "after k
segments" make lists one longer than the segments.

Precision: floats. A volume past a limit by up to `TOLERANCE_L` is taken to be on it.
Source: the law of conservation of air; the rule of the interval is checked against linear
programming in `tests/outside/test_breath_linear_programme.py`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from reedwright.breath.lungs import Limits, Lungs
from reedwright.errors import Problem, ReedwrightError

# A thousandth of a cubic millimetre: far below any breath, far above the rounding of 100,000 sums
# (below a hundredth of it, against exact fractions in tests/breath/test_ledger.py).
TOLERANCE_L = 1e-9

Kind = Literal["draw", "blow", "open"]
_KINDS = frozenset(get_args(Kind))  # asked once, not for each of thousands of segments
Side = Literal["full", "empty"]
Shift = tuple[float, float]  # the least and the greatest change of volume, litres
_Failed = tuple[Side, float]  # which limit is passed, and by how many litres


class SegmentError(ReedwrightError, ValueError):
    """A segment of no possible duration or flow."""


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch of one kind of breath. `label` says whose it is (an event id) and is not read."""

    kind: Kind
    duration_s: float
    flow_l_per_s: float = 0.0
    label: str = ""

    def __post_init__(self) -> None:
        fine = 0.0 <= self.duration_s < math.inf and 0.0 <= self.flow_l_per_s < math.inf
        if self.kind == "open":
            fine = fine and self.flow_l_per_s == 0.0
        if not fine or self.kind not in _KINDS:
            found = f"{self.kind} segment {self.label!r} of {self.duration_s} s "
            found += f"at {self.flow_l_per_s} litres per second"
            rule = "Kinds are draw, blow and open, which has no flow; no number is negative or NaN"
            raise SegmentError(str(Problem(found, rule)))


@dataclass(frozen=True, slots=True)
class Failure:
    """Where the player must pass a limit whatever they do, and by how much at least.

    `too_long`: one note takes more air than lies between the limits, so no breath helps.
    """

    index: int
    label: str
    side: Side
    excess_l: float
    too_long: bool


@dataclass(frozen=True, slots=True)
class Ledger:
    """Possible volumes after 0, 1, 2 … segments, as far as any are possible."""

    limits: Limits
    low_l: tuple[float, ...]
    high_l: tuple[float, ...]
    failure: Failure | None

    @property
    def feasible(self) -> bool:
        return self.failure is None


def shifts_of(segments: Sequence[Segment], lungs: Lungs) -> list[Shift]:
    """What each segment can do to the volume: the same number twice for a note."""
    shifts: list[Shift] = []
    for segment in segments:
        if segment.kind == "open":
            out_l = segment.duration_s * lungs.breathe_out_l_per_s
            shifts.append((-out_l, segment.duration_s * lungs.breathe_in_l_per_s))
        else:
            air_l = segment.duration_s * segment.flow_l_per_s
            shifts.append((air_l, air_l) if segment.kind == "draw" else (-air_l, -air_l))
    return shifts


def keep_ledger(segments: Sequence[Segment], lungs: Lungs, limits: Limits) -> Ledger:
    """Carry the possible volumes from the start until the end or the first failure."""
    start = (lungs.start_l, lungs.start_l)
    shifts = shifts_of(segments, lungs)
    lows, highs, failed = reachable(shifts, limits, start)
    failure = None if failed is None else _failure(segments, shifts, limits, len(lows) - 1, failed)
    return Ledger(limits, tuple(lows), tuple(highs), failure)


def fewest_breaths(
    segments: Sequence[Segment], lungs: Lungs, limits: Limits
) -> tuple[Failure, ...]:
    """The fewest places before which a free breath, as deep as wanted, makes the tune possible.

    Waiting with each breath until it cannot be put off is what makes them fewest. The first place
    is the ledger's own failure. A note that is `too_long` for any breath is named too, and the
    player then starts anew after it.
    """
    shifts = shifts_of(segments, lungs)
    places: list[Failure] = []
    whole = (limits.low_l, limits.high_l)
    done, at = 0, (lungs.start_l, lungs.start_l)
    while True:
        lows, _, failed = reachable(shifts, limits, at, done)
        if failed is None:
            return tuple(places)
        index = done + len(lows) - 1
        places.append(_failure(segments, shifts, limits, index, failed))
        done, at = index + places[-1].too_long, whole


def reachable(
    shifts: Sequence[Shift], limits: Limits, at: Shift, done: int = 0
) -> tuple[list[float], list[float], _Failed | None]:
    """Possible volumes from the interval `at` on, through `shifts[done:]`: lows, highs, and the
    side and excess of the segment at which they end, if they do."""
    bottom, top = limits.low_l, limits.high_l
    low, high = at
    lows, highs = [low], [high]
    for index in range(done, len(shifts)):
        least, most = shifts[index]
        low += least
        high += most
        if low > top + TOLERANCE_L:
            return lows, highs, ("full", low - top)
        if high < bottom - TOLERANCE_L:
            return lows, highs, ("empty", bottom - high)
        low = bottom if low < bottom else min(low, top)
        high = top if high > top else max(high, bottom)
        lows.append(low)
        highs.append(high)
    return lows, highs, None


def playable_onward(
    shifts: Sequence[Shift], limits: Limits, end: int
) -> tuple[list[float], list[float], int]:
    """Volumes after k segments from which the segments k … end-1 can still be played.

    Lows and highs for k = 0 … end, and the smallest k that has any; below it they are NaN.
    """
    bottom, top = limits.low_l, limits.high_l
    lows, highs = [math.nan] * (end + 1), [math.nan] * (end + 1)
    low, high = bottom, top
    for done in range(end, -1, -1):
        if low > high:
            if low > high + TOLERANCE_L:
                return lows, highs, done + 1
            low = high = (low + high) / 2.0
        lows[done], highs[done] = low, high
        if done:
            least, most = shifts[done - 1]
            low = max(bottom, low - most)
            high = min(top, high - least)
    return lows, highs, 0


def _failure(
    segments: Sequence[Segment],
    shifts: Sequence[Shift],
    limits: Limits,
    index: int,
    failed: _Failed,
) -> Failure:
    least, most = shifts[index]
    # The same sums as in `reachable`, so that both always agree to the last bit.
    too_full = limits.low_l + least > limits.high_l + TOLERANCE_L
    too_empty = limits.high_l + most < limits.low_l - TOLERANCE_L
    return Failure(index, segments[index].label, *failed, too_long=too_full or too_empty)
