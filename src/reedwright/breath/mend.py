"""The smallest change that helps where a tune cannot be breathed.

Conventions: a rest is extra time, on top of what is written at its place; in it the player
breathes as the lungs' rates allow. A rest helps when the tune can then be breathed through the
failing segment (what comes later may fail next).

How: a player who must run full (or empty) at one segment has too much air (or too little) by the
failure's excess all the way there: the lowest possible volume and the highest one from which the
failing segment can still be played move together, segment by segment, and stay the excess apart.
So one rest must move just the excess and is equally long at every place where it helps. Those
places are a run that ends right before the failing segment; it begins where the stretch from there
on would be too much for any lungs with these limits. The place nearest to the failure is the one
named, since it also serves what follows; the earliest stands beside it, for a writer who finds a
better spot between. Each place is checked against linear programming in
`tests/outside/test_breath_linear_programme.py`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from reedwright.breath.ledger import Failure, Ledger, Segment, playable_onward, shifts_of
from reedwright.breath.lungs import Limits, Lungs


@dataclass(frozen=True, slots=True)
class Rest:
    """So many seconds of extra rest for one breath, after the segment `index`, or in its stead
    after any one segment from `earliest_index` on."""

    index: int
    label: str
    earliest_index: int
    duration_s: float
    breath: Literal["in", "out"]


@dataclass(frozen=True, slots=True)
class Mend:
    """What would remove a failure. `rest` is None when no single rest does: the note itself is
    too long (`failure.too_long`), is the first, or the player cannot breathe in that direction.

    `longest_s`: how long the failing note may last after the best breath before it.
    `shorten_s`: by how much shorter it must be as the tune stands; None when even that is no help.
    `start`: the start volumes from which the failure would not come, if there are any.
    """

    failure: Failure
    rest: Rest | None
    longest_s: float
    shorten_s: float | None
    start: Limits | None


def mend(segments: Sequence[Segment], lungs: Lungs, ledger: Ledger) -> Mend | None:
    """The smallest change for the ledger's failure; None when it has none."""
    failure = ledger.failure
    if failure is None:
        return None
    note = segments[failure.index]
    moving = note.kind != "open" and note.flow_l_per_s > 0.0
    longest_s = ledger.limits.room_l / note.flow_l_per_s if moving else math.inf
    shorten_s = failure.excess_l / note.flow_l_per_s if moving else math.inf
    end = failure.index + 1
    lows, highs, first = playable_onward(shifts_of(segments[:end], lungs), ledger.limits, end)
    return Mend(
        failure,
        _rest(segments, lungs, failure, first),
        longest_s,
        shorten_s if shorten_s <= note.duration_s else None,
        Limits(lows[0], highs[0]) if first == 0 else None,
    )


def _rest(segments: Sequence[Segment], lungs: Lungs, failure: Failure, first: int) -> Rest | None:
    """`first`: how many segments must be over before the rest up to the failure can be played."""
    full = failure.side == "full"
    rate_l_per_s = lungs.breathe_out_l_per_s if full else lungs.breathe_in_l_per_s
    earliest, nearest = max(first - 1, 0), failure.index - 1
    if rate_l_per_s == 0.0 or nearest < earliest:
        return None
    return Rest(
        nearest,
        segments[nearest].label,
        earliest,
        failure.excess_l / rate_l_per_s,
        "out" if full else "in",
    )
