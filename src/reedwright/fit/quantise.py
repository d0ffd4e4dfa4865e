"""Played moments brought to the beat grid, beat by beat, by the cheapest explanation.

Conventions: moments in counted beats, played; out come written beats, unswung and exact. Each beat
is split into 1, 2, 3, 4 or 6 equal parts; in a swung feel of ratio r the half beat lies at
r / (1 + r), quarters halve its two shares, thirds and sixths stay. Onsets keep their order and no
two share a place. The cost is the sum of squared distances over the square of SPREAD plus what each
split costs, each beat anew, so that plain rhythms win where they explain the notes; its exact
minimum is found by dynamic programming over the beats, for every ratio tried. All weights from
memory, tried on melodies jittered by known amounts (tests).

How sure: 1 minus the root of the mean square distance over what random moments would have on the
same grid (its step over the root of 12); 1 for a file that lies on the grid, about 0 for chance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor, inf, sqrt

SPLITS = {1: 0.0, 2: 1.0, 3: 2.5, 4: 2.5, 6: 5.0}
SPREAD = 0.04
"""Beats: 24 ms at 100 beats a minute, what players who keep time stray (from memory)."""

RATIOS = tuple(Fraction(tenth, 10) for tenth in (10, 13, 15, 17, 20, 23, 26, 30))
_SWING_COST = 2.0  # a swung feel has to explain more than a straight one
_ENOUGH = 1000  # notes that show the feel; a longer melody keeps that of its beginning
_MOST_IN_A_BEAT = 6
_LEGATO = 0.55
"""A note that fills so much of the time to the next is written up to it: the rest is how it was
let go (from memory)."""


@dataclass(frozen=True, slots=True)
class Quantised:
    """`spans`: written start and end of each note, in order; `kept`: their places in the input.

    `ratio`: the long:short found, 1 for straight. `late`: beats by which all notes were late.
    """

    spans: tuple[tuple[Fraction, Fraction], ...]
    kept: tuple[int, ...]
    ratio: Fraction
    late: float
    sure: float


def quantised(played: Sequence[tuple[float, float]], *, swing: bool = True) -> Quantised:
    """Starts and ends of one voice, in order, on the grid. Linear in the notes.

    `swing`: whether a swung feel may be found (a compound meter has none).
    """
    some = played[:_ENOUGH]
    best = _feel(some, RATIOS if swing else RATIOS[:1])
    if len(some) < len(played):
        best = _fit(played, best.ratio, best.late)
    return _written(played, best)


def _feel(played: Sequence[tuple[float, float]], ratios: Sequence[Fraction]) -> _Fit:
    """The cheapest fit over the ratios, a common lateness taken off, then the ratios beside it."""
    best = min((_fit(played, ratio, 0.0) for ratio in ratios), key=lambda fit: fit.cost)
    late = _bounded(best.drift)
    fits = [_fit(played, ratio, late) for ratio in ratios]
    best = min([best, *fits], key=lambda fit: fit.cost)
    if best.ratio > 1:
        finer = [best.ratio + Fraction(step, 10) for step in (-1, 1)]
        fits = [_fit(played, ratio, best.late) for ratio in finer if 1 < ratio <= Fraction(7, 2)]
        best = min([best, *fits], key=lambda fit: fit.cost)
    return best


@dataclass(frozen=True, slots=True)
class _Fit:
    """An explanation: by note, its beat, place and split, or None for one left out."""

    cost: float
    ratio: Fraction
    late: float
    drift: float
    places: tuple[tuple[int, int, int] | None, ...]
    distances: tuple[float, ...]


def grid(split: int, ratio: Fraction) -> tuple[float, ...]:
    """Where the parts of a beat begin when played, and its end."""
    half = float(ratio / (1 + ratio))
    if split == 2:
        return 0.0, half, 1.0
    if split == 4:
        return 0.0, half / 2, half, (1 + half) / 2, 1.0
    return *(part / split for part in range(split)), 1.0


@dataclass(frozen=True, slots=True)
class _Step:
    """The best way through the beats so far: how many notes are placed, whether the next beat's
    first place is taken."""

    cost: float
    before: _Step | None
    beat: int
    split: int
    first: int  # the first note of this beat
    parts: tuple[int, ...]  # where its notes lie; `split` is the next beat


def _fit(played: Sequence[tuple[float, float]], ratio: Fraction, late: float) -> _Fit:
    starts = [start - late for start, _ in played]
    grids = [(split, cost, grid(split, ratio)) for split, cost in SPLITS.items()]
    steps: dict[bool, _Step | None] = {False: None, True: None}
    costs = {False: 0.0, True: inf}
    for beat, first, last in _beats(starts):
        inside = [starts[at] - beat for at in range(first, last)][:_MOST_IN_A_BEAT]
        previous = steps[False] or steps[True]
        if previous is not None and previous.beat < beat - 1:  # a beat without notes between
            free = min((costs[each], each) for each in (False, True))[1]
            costs, steps = {False: costs[free], True: inf}, {False: steps[free], True: None}
        new_costs = {False: inf, True: inf}
        new_steps: dict[bool, _Step | None] = {False: None, True: None}
        for taken in (False, True):
            if costs[taken] == inf:
                continue
            for split, price, at in grids:
                for cost, parts in _assigned(inside, at, 1 if taken else 0):
                    over = bool(parts) and parts[-1] == split
                    total = costs[taken] + price + cost
                    if total < new_costs[over]:
                        new_costs[over] = total
                        new_steps[over] = _Step(total, steps[taken], beat, split, first, parts)
        costs, steps = new_costs, new_steps
    final = min((False, True), key=lambda each: costs[each])
    return _told(steps[final], starts, ratio, late, costs[final])


def _beats(starts: Sequence[float]) -> list[tuple[int, int, int]]:
    """Beats with notes: number, first note, one after the last."""
    rows: list[tuple[int, int, int]] = []
    for at, start in enumerate(starts):
        beat = floor(start)
        if rows and rows[-1][0] >= beat:
            rows[-1] = rows[-1][0], rows[-1][1], at + 1
        else:
            rows.append((beat, at, at + 1))
    return rows


def _assigned(
    inside: Sequence[float], at: Sequence[float], lowest: int
) -> list[tuple[float, tuple[int, ...]]]:
    """The cheapest places for a beat's notes: ending inside the beat, and on the next beat."""
    count, parts = len(inside), len(at)
    if parts - lowest < count:
        return []
    # best[place]: cost and places of the notes so far, the last of them there.
    best: list[tuple[float, tuple[int, ...]]] = [(0.0, ())] * parts
    for note, moment in enumerate(inside):
        row: list[tuple[float, tuple[int, ...]]] = [(inf, ())] * parts
        least: tuple[float, tuple[int, ...]] = (0.0, ()) if note == 0 else (inf, ())
        for place in range(lowest, parts):
            if least[0] < inf:
                distance = (moment - at[place]) / SPREAD
                row[place] = least[0] + distance * distance, (*least[1], place)
            if note and best[place][0] < least[0]:
                least = best[place]
        best = row
    within = min(best[lowest:-1], key=lambda each: each[0], default=(inf, ()))
    return [each for each in (within, best[-1]) if each[0] < inf]


def _told(
    step: _Step | None, starts: Sequence[float], ratio: Fraction, late: float, cost: float
) -> _Fit:
    places: list[tuple[int, int, int] | None] = [None] * len(starts)
    distances = [0.0] * len(starts)
    while step is not None:
        at = grid(step.split, ratio)
        for offset, part in enumerate(step.parts):
            note = step.first + offset
            places[note] = step.beat, part, step.split
            distances[note] = starts[note] - step.beat - at[part]
        step = step.before
    known = [each for each, place in zip(distances, places, strict=True) if place is not None]
    drift = late + (sorted(known)[len(known) // 2] if known else 0.0)
    priced = cost + (_SWING_COST if ratio > 1 else 0.0)
    return _Fit(priced, ratio, late, drift, tuple(places), tuple(distances))


def _bounded(drift: float) -> float:
    return min(max(drift, -0.2), 0.2)


def _written(played: Sequence[tuple[float, float]], fit: _Fit) -> Quantised:
    kept = [at for at, place in enumerate(fit.places) if place is not None]
    starts = [_moment(fit.places[at]) for at in kept]
    splits = {}
    for at in kept:
        place = fit.places[at]
        if place is not None:
            splits[place[0]] = place[2]
    spans = []
    for order, at in enumerate(kept):
        start = starts[order]
        after = starts[order + 1] if order + 1 < len(kept) else None
        lasted = played[at][1] - played[at][0]
        following = None if after is None else played[kept[order + 1]][0] - played[at][0]
        if after is not None and following is not None and lasted >= _LEGATO * following:
            end = after
        else:
            end = _end(start, played[at][1] - fit.late, splits, fit.ratio)
            end = end if after is None else min(end, after)
        spans.append((start, end))
    return Quantised(tuple(spans), tuple(kept), fit.ratio, fit.late, _sure(fit))


def _moment(place: tuple[int, int, int] | None) -> Fraction:
    beat, part, split = place if place is not None else (0, 0, 1)
    return beat + Fraction(part, split)


def _end(start: Fraction, end: float, splits: dict[int, int], ratio: Fraction) -> Fraction:
    """The end's nearest place on the grid of its beat, after the start."""
    beat = max(floor(end), floor(start))
    split = max(splits.get(beat, 1), 2)  # an end may halve a beat that no onset splits
    places = grid(split, ratio)
    part = min(range(len(places)), key=lambda each: abs(places[each] + beat - end))
    found = beat + Fraction(part, split)
    if found > start:
        return found
    own = splits.get(floor(start), 1)
    return start + Fraction(1, own)


def _sure(fit: _Fit) -> float:
    """1 on the grid, about 0 for chance; a note left out counts as chance."""
    squares, chance = 0.0, 0.0
    for place, distance in zip(fit.places, fit.distances, strict=True):
        step = 1.0 / place[2] if place is not None else 0.25
        random = step * step / 12
        squares += distance * distance if place is not None else random
        chance += random
    return max(0.0, 1.0 - sqrt(squares / chance)) if chance else 1.0
