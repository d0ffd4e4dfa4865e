"""The breath room against linear programming.

Outside source: scipy.optimize.linprog and milp (the HiGHS solvers), which know nothing of
intervals. Each programme is written from the plain statement of the problem: one volume after
every segment, air in and air out as separate variables, every limit a row. Nothing of the room but
its values (segments, lungs, limits) goes into it.

Many programmes that share no variable are solved as one: the sum of their aims is best when each
is best. Feasibility is asked as "by how much can both limits move in": never infeasible itself, and
not below zero exactly when the tune can be breathed. The solvers keep to 1e-7 by default, so a
result within `_NEAR` of zero would prove nothing; the cases at the edge keep clear of it.
"""

import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, linprog, milp
from scipy.sparse import coo_matrix, csr_matrix

from reedwright.breath.ledger import Segment, fewest_breaths, keep_ledger
from reedwright.breath.lungs import Limits, Lungs
from reedwright.breath.margin import comfort, margin
from reedwright.breath.mend import mend
from reedwright.breath.plan import breathing_plan
from tests.breath.cases import random_lungs, random_tune

_INF = float("inf")
_NEAR = 1e-6
_BATCH = 40
_BOTH_MOVE = (1.0, 1.0)
_NONE_MOVES = (0.0, 0.0)


@dataclass(slots=True)
class Rows:
    """One set of rows `Σ factor · variable (= or ≤) value`."""

    factors: list[float] = field(default_factory=list)
    row_of: list[int] = field(default_factory=list)
    column_of: list[int] = field(default_factory=list)
    values: list[float] = field(default_factory=list)

    def add(self, terms: Sequence[tuple[float, int]], value: float) -> None:
        for factor, column in terms:
            self.factors.append(factor)
            self.row_of.append(len(self.values))
            self.column_of.append(column)
        self.values.append(value)

    def matrix(self, columns: int) -> csr_matrix:
        entries = (self.factors, (self.row_of, self.column_of))
        return coo_matrix(entries, shape=(len(self.values), columns)).tocsr()


@dataclass(slots=True)
class Programme:
    """Variables with bounds and a cost each, equalities and upper bounds."""

    costs: list[float] = field(default_factory=list)
    bounds: list[tuple[float, float]] = field(default_factory=list)
    equal: Rows = field(default_factory=Rows)
    at_most: Rows = field(default_factory=Rows)

    def variable(self, low: float = -_INF, high: float = _INF, cost: float = 0.0) -> int:
        self.bounds.append((low, high))
        self.costs.append(cost)
        return len(self.costs) - 1

    def solve(self) -> list[float]:
        size = len(self.costs)
        result = linprog(
            self.costs,
            A_ub=self.at_most.matrix(size) if self.at_most.values else None,
            b_ub=self.at_most.values or None,
            A_eq=self.equal.matrix(size) if self.equal.values else None,
            b_eq=self.equal.values or None,
            bounds=self.bounds,
            method="highs",
        )
        assert result.status == 0, result.message
        return list(result.x)

    def held(self, volume: int, limits: Limits, steps: tuple[float, float], moved: int) -> None:
        """low + step · moved ≤ volume ≤ high − step · moved."""
        self.at_most.add([(-1.0, volume), (steps[0], moved)], -limits.low_l)
        self.at_most.add([(1.0, volume), (steps[1], moved)], limits.high_l)


@dataclass(frozen=True, slots=True)
class Case:
    tune: list[Segment]
    lungs: Lungs
    limits: Limits


def breathe(
    programme: Programme, case: Case, before: int, segment: Segment, *, free: bool = False
) -> int:
    """A variable for the volume after the segment; `free`: breathe any amount on top of it."""
    lungs, after = case.lungs, programme.variable()
    resting_s = segment.duration_s if segment.kind == "open" else 0.0
    most_in_l = _INF if free else lungs.breathe_in_l_per_s * resting_s
    most_out_l = _INF if free else lungs.breathe_out_l_per_s * resting_s
    air_in = programme.variable(0.0, most_in_l)
    air_out = programme.variable(0.0, most_out_l)
    air_l = segment.flow_l_per_s * segment.duration_s
    signed_l = {"draw": air_l, "blow": -air_l, "open": 0.0}[segment.kind]
    programme.equal.add([(1.0, after), (-1.0, before), (-1.0, air_in), (1.0, air_out)], signed_l)
    return after


def chain(
    programme: Programme,
    case: Case,
    count: int,
    steps: tuple[float, float] = _BOTH_MOVE,
    free_after: int | None = None,
) -> int:
    """The first `count` segments with limits that move in; returns the variable to be made large.

    `free_after`: an endless rest after that segment (how endless is seen below).
    """
    moved = programme.variable(cost=-1.0)
    volume = programme.variable(case.lungs.start_l, case.lungs.start_l)
    for index, segment in enumerate(case.tune[:count]):
        volume = breathe(programme, case, volume, segment)
        programme.held(volume, case.limits, steps, moved)
        if index == free_after:
            volume = endless_rest(programme, case, volume)
            programme.held(volume, case.limits, steps, moved)
    return moved


def endless_rest(programme: Programme, case: Case, before: int) -> int:
    """Any breath, in a direction in which the player can breathe at all."""
    after = programme.variable()
    air_in = programme.variable(0.0, _INF if case.lungs.breathe_in_l_per_s else 0.0)
    air_out = programme.variable(0.0, _INF if case.lungs.breathe_out_l_per_s else 0.0)
    programme.equal.add([(1.0, after), (-1.0, before), (-1.0, air_in), (1.0, air_out)], 0.0)
    return after


def random_cases(seed: int, count: int) -> list[Case]:
    source = random.Random(seed)
    cases = []
    for _ in range(count):
        lungs = random_lungs(source)
        limits = source.choice((lungs.hard, lungs.comfortable))
        cases.append(Case(random_tune(source), lungs, limits))
    return cases


def batches(cases: Sequence[Case]) -> list[Sequence[Case]]:
    return [cases[start : start + _BATCH] for start in range(0, len(cases), _BATCH)]


def largest_margins(wanted: Sequence[tuple[Case, int]]) -> list[float]:
    """By linear programming: how far both limits can move in over the first so many segments."""
    results: list[float] = []
    for start in range(0, len(wanted), _BATCH):
        programme = Programme()
        ends = [chain(programme, case, count) for case, count in wanted[start : start + _BATCH]]
        solved = programme.solve()
        results += [solved[end] for end in ends]
    return results


def check_first_failures(cases: Sequence[Case]) -> Counter[str]:
    """The room's first failing segment j is right exactly when the programme of the first j
    segments has a solution and that of the first j + 1 has none; the counts by kind of result."""
    seen: Counter[str] = Counter()
    ledgers = [keep_ledger(case.tune, case.lungs, case.limits) for case in cases]
    counts = [
        len(case.tune) if ledger.failure is None else ledger.failure.index
        for case, ledger in zip(cases, ledgers, strict=True)
    ]
    possible = largest_margins([(c, n) for c, n in zip(cases, counts, strict=True) if n])
    assert min(possible) > -_NEAR
    seen["near"] = sum(value < _NEAR for value in possible)
    failed = [(c, n + 1) for c, n in zip(cases, counts, strict=True) if n < len(c.tune)]
    for value in largest_margins(failed):
        assert value < _NEAR
        seen["near"] += value > -_NEAR
    for ledger in ledgers:
        seen["fine" if ledger.failure is None else ledger.failure.side] += 1
    return seen


def check_excesses(cases: Sequence[Case]) -> int:
    """The excess is the least by which the failing segment passes its limit."""
    checked = 0
    for batch in batches(cases):
        programme, expected = Programme(), []
        for case in batch:
            failure = keep_ledger(case.tune, case.lungs, case.limits).failure
            if failure is None:
                continue
            still = programme.variable(0.0, 0.0)
            volume = programme.variable(case.lungs.start_l, case.lungs.start_l)
            for segment in case.tune[: failure.index]:
                volume = breathe(programme, case, volume, segment)
                programme.held(volume, case.limits, _NONE_MOVES, still)
            volume = breathe(programme, case, volume, case.tune[failure.index])
            programme.costs[volume] = 1.0 if failure.side == "full" else -1.0
            edge_l = case.limits.high_l if failure.side == "full" else case.limits.low_l
            signed_l = failure.excess_l if failure.side == "full" else -failure.excess_l
            expected.append((volume, edge_l + signed_l))
        if expected:
            solved = programme.solve()
            for volume, volume_l in expected:
                assert solved[volume] == pytest.approx(volume_l, abs=_NEAR)
            checked += len(expected)
    return checked


def check_margins(cases: Sequence[Case]) -> None:
    found = [margin(case.tune, case.lungs, case.limits) for case in cases]
    expected = largest_margins([(case, len(case.tune)) for case in cases])
    for one, litres in zip(found, expected, strict=True):
        assert one is not None
        assert one.litres == pytest.approx(litres, abs=_NEAR)


def check_comforts(cases: Sequence[Case]) -> Counter[str]:
    seen: Counter[str] = Counter()
    for batch in batches(cases):
        programme, ends = Programme(), []
        for case in batch:
            lungs = case.lungs
            steps = (lungs.comfortable_low_l, lungs.vital_capacity_l - lungs.comfortable_high_l)
            hard = Case(case.tune, lungs, lungs.hard)
            ends.append(chain(programme, hard, len(case.tune), steps))
        solved = programme.solve()
        for case, end in zip(batch, ends, strict=True):
            found = comfort(case.tune, case.lungs)
            assert found == pytest.approx(min(solved[end], 1.0), abs=_NEAR, rel=_NEAR)
            seen["all" if found == 1.0 else "some" if found > 0.0 else "none"] += 1
    return seen


def check_rests(cases: Sequence[Case]) -> Counter[str]:
    """At every place before the failure: the shortest rest there by linear programming, and that
    no rest of any length helps where the room names none."""
    seen: Counter[str] = Counter()
    for batch in batches(cases):
        shortest, endless = Programme(), Programme()
        expected: list[tuple[int, float]] = []
        hopeless: list[int] = []
        for case in batch:
            ledger = keep_ledger(case.tune, case.lungs, case.limits)
            found = mend(case.tune, case.lungs, ledger)
            if found is None:
                continue
            seen["too long"] += found.failure.too_long
            for after in range(found.failure.index):
                if found.rest is not None and after >= found.rest.earliest_index:
                    rest = rest_after(shortest, case, found.failure.index + 1, after)
                    expected.append((rest, found.rest.duration_s))
                else:
                    count = found.failure.index + 1
                    hopeless.append(chain(endless, case, count, free_after=after))
        if expected:
            solved = shortest.solve()
            for rest, duration_s in expected:
                assert solved[rest] == pytest.approx(duration_s, abs=_NEAR, rel=_NEAR)
        if hopeless:
            solved = endless.solve()
            assert max(solved[end] for end in hopeless) < _NEAR
        seen["helped"] += len(expected)
        seen["hopeless"] += len(hopeless)
    return seen


def rest_after(programme: Programme, case: Case, count: int, after: int) -> int:
    """The first `count` segments with a rest after one, as short as it can be; its variable."""
    rest = programme.variable(0.0, cost=1.0)
    still = programme.variable(0.0, 0.0)
    volume = programme.variable(case.lungs.start_l, case.lungs.start_l)
    for index, segment in enumerate(case.tune[:count]):
        volume = breathe(programme, case, volume, segment)
        programme.held(volume, case.limits, _NONE_MOVES, still)
        if index == after:
            before, volume = volume, programme.variable()
            air_in, air_out = programme.variable(0.0), programme.variable(0.0)
            terms = [(1.0, volume), (-1.0, before), (-1.0, air_in), (1.0, air_out)]
            programme.equal.add(terms, 0.0)
            programme.at_most.add([(1.0, air_in), (-case.lungs.breathe_in_l_per_s, rest)], 0.0)
            programme.at_most.add([(1.0, air_out), (-case.lungs.breathe_out_l_per_s, rest)], 0.0)
            programme.held(volume, case.limits, _NONE_MOVES, still)
    return rest


def at_the_edge(cases: Sequence[Case], clear_l: float) -> list[Case]:
    """Each tune with limits drawn in until it can only just be breathed, and only just not."""
    edged = []
    whole = largest_margins([(case, len(case.tune)) for case in cases])
    for case, litres in zip(cases, whole, strict=True):
        for moved_l in (litres - clear_l, litres + clear_l):
            low_l, high_l = case.limits.low_l + moved_l, case.limits.high_l - moved_l
            if low_l < high_l:
                edged.append(Case(case.tune, case.lungs, Limits(low_l, high_l)))
    return edged


def check_all(seed: int, count: int) -> None:
    cases = random_cases(seed, count)
    seen = check_first_failures(cases)
    assert min(seen["fine"], seen["full"], seen["empty"]) > count / 10, seen
    assert seen["near"] == 0
    assert check_excesses(cases) == seen["full"] + seen["empty"]
    check_margins(cases)
    assert min(check_comforts(cases).values()) > count / 50
    rests = check_rests(cases)
    assert min(rests["too long"] * 20, rests["helped"], rests["hopeless"]) > count, rests
    edged = at_the_edge(cases, 1e-5)
    seen = check_first_failures(edged)
    assert min(seen["fine"], seen["full"] + seen["empty"]) > len(edged) / 3, seen
    assert min(seen["full"], seen["empty"]) > len(edged) / 10, seen
    assert seen["near"] == 0


def test_some_hundred_random_tunes() -> None:
    check_all(seed=1, count=200)


@pytest.mark.slow
def test_thousands_of_random_tunes() -> None:
    check_all(seed=2, count=3000)


def test_feasibility_asked_outright() -> None:
    """The same question without moving limits, which the solver answers with yes or no."""
    answers: Counter[int] = Counter()
    for case in random_cases(seed=3, count=150):
        programme = Programme()
        programme.costs[chain(programme, case, len(case.tune))] = 0.0
        programme.bounds[0] = (0.0, 0.0)  # the limits stay where they are
        size = len(programme.costs)
        result = linprog(
            programme.costs,
            A_ub=programme.at_most.matrix(size),
            b_ub=programme.at_most.values,
            A_eq=programme.equal.matrix(size),
            b_eq=programme.equal.values,
            bounds=programme.bounds,
            method="highs",
        )
        assert result.status in (0, 2)
        answers[result.status] += 1
        feasible = keep_ledger(case.tune, case.lungs, case.limits).feasible
        assert (result.status == 0) is feasible
        assert (breathing_plan(case.tune, case.lungs, case.limits) is not None) is feasible
    assert min(answers.values()) > 30
    assert len(answers) == 2


def test_the_fewest_breaths_by_integer_programming() -> None:
    """A yes or no before each segment; yes allows any breath there. HiGHS finds the fewest."""
    seen: Counter[int] = Counter()
    source = random.Random(4)
    while sum(seen.values()) < 200:
        lungs = random_lungs(source)
        case = Case(random_tune(source, 24), lungs, lungs.hard)
        places = fewest_breaths(case.tune, lungs, lungs.hard)
        if not any(place.too_long for place in places):
            assert len(places) == fewest_by_milp(case)
            seen[len(places)] += 1
    assert min(seen[0], seen[1], sum(seen.values()) - seen[0] - seen[1]) > 20, seen


def fewest_by_milp(case: Case) -> int:
    programme, choices = Programme(), []
    still = programme.variable(0.0, 0.0)
    volume = programme.variable(case.lungs.start_l, case.lungs.start_l)
    for segment in case.tune:
        choice, before, volume = (
            programme.variable(0.0, 1.0, cost=1.0),
            volume,
            programme.variable(),
        )
        choices.append(choice)
        for sign in (1.0, -1.0):
            terms = [(sign, volume), (-sign, before), (-case.limits.room_l, choice)]
            programme.at_most.add(terms, 0.0)
        programme.held(volume, case.limits, _NONE_MOVES, still)
        volume = breathe(programme, case, volume, segment)
        programme.held(volume, case.limits, _NONE_MOVES, still)
    size = len(programme.costs)
    whole = np.zeros(size)
    whole[choices] = 1
    low, high = zip(*programme.bounds, strict=True)
    result = milp(
        programme.costs,
        integrality=whole,
        bounds=Bounds(low, high),
        constraints=[
            LinearConstraint(programme.at_most.matrix(size), ub=programme.at_most.values),
            LinearConstraint(
                programme.equal.matrix(size), programme.equal.values, programme.equal.values
            ),
        ],
    )
    assert result.status == 0, result.message
    return round(result.fun)
