"""Human timing brought back to what was written: known rhythms, jittered by known amounts."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.fit.quantise import SPLITS, SPREAD, grid, quantised
from reedwright.fit.reading import FAIRLY, SURE

CELLS: tuple[list[Fraction], ...] = tuple(
    [Fraction(part) for part in cell.split()]
    for cell in ("0", "0 1/2", "1/2", "0 1/4 1/2 3/4", "0 1/3 2/3", "")
)


def written(seed: str, beats: int = 96) -> list[Fraction]:
    draw = random.Random(seed)
    return [Fraction(0)] + [b + c for b in range(1, beats) for c in draw.choice(CELLS)]


def swung(moment: Fraction, ratio: Fraction) -> float:
    """Where a moment is played; our own formula, by halves, apart from `grid`."""
    beat, inside = moment // 1, moment % 1
    if inside.denominator == 3:
        return float(moment)
    half = ratio / (1 + ratio)
    played = inside * 2 * half if inside <= Fraction(1, 2) else half + (2 * inside - 1) * (1 - half)
    return float(beat + played)


def played(
    moments: list[Fraction], ratio: Fraction, stray: float, seed: str
) -> list[tuple[float, float]]:
    draw = random.Random(seed)
    starts = sorted(swung(moment, ratio) + draw.gauss(0, stray) for moment in moments)
    return [
        (a, a + 0.85 * (b - a)) for a, b in zip(starts, [*starts[1:], starts[-1] + 1], strict=True)
    ]


@pytest.mark.parametrize("ratio", [Fraction(1), Fraction(3, 2), Fraction(2), Fraction(26, 10)])
@pytest.mark.parametrize(("stray", "right"), [(0.0, 1.0), (0.01, 0.99), (0.02, 0.96)])
def test_rhythm_and_feel_come_back(ratio: Fraction, stray: float, right: float) -> None:
    same = count = 0
    for seed in ("a", "b", "c"):
        moments = written(seed)
        found = quantised(played(moments, ratio, stray, seed))
        starts = dict(zip(found.kept, (start for start, _ in found.spans), strict=True))
        same += sum(starts.get(at) == moment for at, moment in enumerate(moments))
        count += len(moments)
        assert abs(found.ratio - ratio) <= Fraction(2, 10)
        assert found.sure >= SURE
    assert same >= right * count


def test_sureness_falls_with_stray_and_is_low_for_chance() -> None:
    sure = [
        quantised(played(written("s"), Fraction(1), stray, "s")).sure
        for stray in (0, 0.02, 0.05, 0.1)
    ]
    assert sure == sorted(sure, reverse=True)
    assert sure[0] == pytest.approx(1.0)
    draw = random.Random("chance")
    moments = sorted(draw.uniform(0, 100) for _ in range(200))
    assert quantised([(at, at + 0.1) for at in moments]).sure < FAIRLY


def test_everyone_late_by_the_same_is_on_time() -> None:
    moments = written("late")
    late = [(a + 0.06, b + 0.06) for a, b in played(moments, Fraction(1), 0.0, "late")]
    found = quantised(late)
    assert [start for start, _ in found.spans] == moments
    assert found.late == pytest.approx(0.06)


def test_a_short_note_before_a_long_gap_ends_by_itself() -> None:
    found = quantised([(0.0, 0.5), (2.0, 3.0)])
    assert found.spans == ((Fraction(0), Fraction(1, 2)), (Fraction(2), Fraction(3)))


def brute(moments: list[float], ratio: Fraction) -> float:
    """The least cost over every split of every beat and every placing, by trying them all."""
    beats = sorted({int(moment) for moment in moments})
    least = float("inf")
    for splits in product(SPLITS, repeat=len(beats)):
        by_beat = dict(zip(beats, splits, strict=True))
        options = []
        for moment in moments:
            split = by_beat[int(moment)]
            options.append([int(moment) + at for at in grid(split, ratio)])
        price = sum(SPLITS[split] for split in splits)
        for places in product(*options):
            if all(a < b - 1e-9 for a, b in pairwise(places)):
                cost = price + sum(
                    ((m - p) / SPREAD) ** 2 for m, p in zip(moments, places, strict=True)
                )
                least = min(least, cost)
    return least


@given(st.lists(st.integers(0, 299), min_size=1, max_size=5, unique=True))
def test_the_explanation_is_the_cheapest_there_is(hundredths: list[int]) -> None:
    from reedwright.fit.quantise import _fit

    moments = [at / 100 for at in sorted(hundredths)]
    found = _fit([(at, at + 0.1) for at in moments], Fraction(1), 0.0)
    expected = brute(moments, Fraction(1))
    if all(place is not None for place in found.places):
        assert found.cost == pytest.approx(expected)
    else:
        assert expected == float("inf")


@given(st.lists(st.floats(0, 50), min_size=1, max_size=60))
def test_order_is_kept_and_nothing_overlaps(starts: list[float]) -> None:
    found = quantised([(at, at + 0.3) for at in sorted(starts)])
    ends = [Fraction(-1)]
    for start, end in found.spans:
        assert start >= ends[-1]
        assert end > start
        ends.append(end)
    assert 0.0 <= found.sure <= 1.0
