"""How much room a tune leaves: how far the limits can be drawn in before it cannot be breathed.

Conventions: litres for a margin, where both limits move in by the same amount; for comfort 0 is
the hard limits and 1 the comfortable ones. Negative: the limits would have to be wider. The limits
are held at the end of every segment, not at the stated start.

How: with limits that move in step, `low + step · m` and `high − step · m`, the lowest possible
volume after k segments is the greater of two terms, one from the start (no m in it) and one from
the last time on the lower limit (m once), and so for the highest. Each bounds m by one division:
one pass, exact but for rounding, no bisection. Checked against linear programming in
`tests/outside/test_breath_linear_programme.py`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from reedwright.breath.ledger import Segment, Shift, Side, shifts_of
from reedwright.breath.lungs import Limits, Lungs


@dataclass(frozen=True, slots=True)
class Margin:
    """The clearance the best plan keeps, and the segment at whose end it is smallest."""

    litres: float
    index: int
    label: str
    side: Side


def margin(segments: Sequence[Segment], lungs: Lungs, limits: Limits) -> Margin | None:
    """The most by which both limits can move in with some plan left; None for no segments."""
    if not segments:
        return None
    shifts = shifts_of(segments, lungs)
    litres, index, side = _tightest(shifts, lungs.start_l, limits, (1.0, 1.0))
    return Margin(litres, index, segments[index].label, side)


def comfort(segments: Sequence[Segment], lungs: Lungs) -> float:
    """How near the comfortable limits (1) some plan can stay, from the hard ones (0); at most 1.

    Negative when no plan keeps within the hard limits; minus infinity when no limits in that
    proportion would help.
    """
    hard, comfortable = lungs.hard, lungs.comfortable
    steps = (comfortable.low_l - hard.low_l, hard.high_l - comfortable.high_l)
    if not segments:
        return 1.0
    return min(1.0, _tightest(shifts_of(segments, lungs), lungs.start_l, hard, steps)[0])


def _tightest(
    shifts: Sequence[Shift], start_l: float, limits: Limits, steps: tuple[float, float]
) -> tuple[float, int, Side]:
    """The greatest m for which limits drawn in by `m · steps` leave a plan, and where it binds."""
    from_start_low = from_start_high = start_l
    from_limit_low = from_limit_high = 0.0  # above the lower limit, below the upper one
    peaks = [(-math.inf, 0)] * 4
    for index, (least, most) in enumerate(shifts):
        from_start_low += least
        from_start_high += most
        if from_start_low > peaks[0][0]:
            peaks[0] = (from_start_low, index)
        if -from_start_high > peaks[1][0]:
            peaks[1] = (-from_start_high, index)
        # The start is not on a limit: only from the first segment's end on can a term start there.
        from_limit_low = max(from_limit_low + least, 0.0) if index else 0.0
        from_limit_high = max(from_limit_high - most, 0.0) if index else 0.0
        if from_limit_low > peaks[2][0]:
            peaks[2] = (from_limit_low, index)
        if from_limit_high > peaks[3][0]:
            peaks[3] = (from_limit_high, index)
    bounds: list[tuple[float, int, Side]] = [
        (_ratio(limits.high_l - peaks[0][0], steps[1]), peaks[0][1], "full"),
        (_ratio(-limits.low_l - peaks[1][0], steps[0]), peaks[1][1], "empty"),
        (_ratio(limits.room_l - peaks[2][0], sum(steps)), peaks[2][1], "full"),
        (_ratio(limits.room_l - peaks[3][0], sum(steps)), peaks[3][1], "empty"),
    ]
    return min(bounds, key=lambda bound: bound[:2])


def _ratio(room_l: float, step: float) -> float:
    """How often the step fits in; a limit that does not move either holds or never will."""
    if step > 0.0:
        return room_l / step
    return math.inf if room_l >= 0.0 else -math.inf
