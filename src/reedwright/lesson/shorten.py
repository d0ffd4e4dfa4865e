"""What to cut from a lesson that is too long, so that least is lost.

Conventions: a take may keep fewer rounds, or none where its `least` is 0. The choice is exact to
the second, by dynamic programming over the seconds to be saved (savings rounded down, the need up,
so that what is promised is kept), while takes times seconds stay within `MOST_CELLS`. Beyond that
rounds go one by one, whichever loses least for each second it saves, and then those that were not
needed after all come back, the most valuable first. Where everything that may go is not enough, all
of it goes.
Source: the multiple-choice knapsack problem, solved by its textbook recurrence (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from heapq import heapify, heappop, heappush

from reedwright.lesson.takes import Take

MOST_CELLS = 200_000
"""Options times seconds for which the exact way takes a few hundredths of a second (measured)."""


def rounds_kept(takes: Sequence[Take], wished_s: float, fade: float) -> tuple[int, ...]:
    """How many rounds each take keeps, so that all fit into `wished_s` if they can."""
    need = math.ceil(sum(take.length_s for take in takes) - wished_s - 1e-6)  # a hair for rounding
    if need <= 0:
        return tuple(take.rounds for take in takes)
    least = tuple(min(take.least, take.rounds) for take in takes)
    pairs = zip(takes, least, strict=True)
    if sum(_saved(take, rounds) for take, rounds in pairs) <= need:
        return least
    options = sum(take.rounds - keep for take, keep in zip(takes, least, strict=True))
    if options * need <= MOST_CELLS:
        return _exactly(takes, least, need, fade)
    return _one_by_one(takes, least, need, fade)


def _saved(take: Take, rounds: int) -> int:
    return int(take.length_s - take.lasting_s(rounds))


def _exactly(
    takes: Sequence[Take], least: Sequence[int], need: int, fade: float
) -> tuple[int, ...]:
    """The least loss that saves `need` seconds."""
    best = [0.0, *[math.inf] * need]  # the least loss that saves at least so much
    chosen: list[list[int]] = []
    for take, keep in zip(takes, least, strict=True):
        now, rounds = best[:], [take.rounds] * (need + 1)
        for left in range(take.rounds - 1, keep - 1, -1):
            saved, lost = _saved(take, left), take.lost(left, fade)
            for target in range(1, need + 1):
                loss = best[max(0, target - saved)] + lost
                if loss < now[target]:
                    now[target], rounds[target] = loss, left
        best = now
        chosen.append(rounds)
    kept: list[int] = []
    for take, rounds in zip(reversed(takes), reversed(chosen), strict=True):
        kept.append(rounds[need])
        need = max(0, need - _saved(take, kept[-1]))
    return tuple(reversed(kept))


def _one_by_one(
    takes: Sequence[Take], least: Sequence[int], need: int, fade: float
) -> tuple[int, ...]:
    """Rounds taken away one by one until enough is saved, and what was too much given back."""
    kept = [take.rounds for take in takes]

    def price(at: int) -> tuple[float, int]:
        """What the next round of a take loses for each second it saves."""
        take, left = takes[at], kept[at] - 1
        lost = take.lost(left, fade) - take.lost(kept[at], fade)
        return lost / max(_saved(take, left) - _saved(take, kept[at]), 0.5), at

    dearest: list[tuple[float, int]] = []
    heap = [price(at) for at, take in enumerate(takes) if take.rounds > least[at]]
    heapify(heap)
    saved = 0
    while heap and saved < need:
        cost, at = heappop(heap)
        dearest.append((cost, at))
        saved += _saved(takes[at], kept[at] - 1) - _saved(takes[at], kept[at])
        kept[at] -= 1
        if kept[at] > least[at]:
            heappush(heap, price(at))
    _give_back(takes, kept, dearest, saved - need)
    return tuple(kept)


def _give_back(
    takes: Sequence[Take], kept: list[int], cut: Sequence[tuple[float, int]], spare: int
) -> None:
    """Give rounds back while what is too much allows it, those that cost most first."""
    for _, at in sorted(cut, reverse=True):
        back = _saved(takes[at], kept[at]) - _saved(takes[at], kept[at] + 1)
        if back <= spare:
            kept[at] += 1
            spare -= back
