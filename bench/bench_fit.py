"""The fit room: exactness has its tests, here is what it takes.

Gates of our own: the tabs in order, of which the breath may need many, at least 100 times faster
than networkx finds them, and the first alone, which is one pass for both, at least 5 times;
32 bars on 12 keys × 7 tunings in 300 ms; 100,000 notes on one harp in a second, and twice the notes
in at most 1.5 times the time per note; many melodies at least 1.8 times faster with two processes
than with one (which needs two free cores). The melodies are made here by numbers and are nobody's.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from fractions import Fraction
from itertools import islice, pairwise

import networkx as nx

from bench.row import Gate, Row, median_ms
from reedwright.breath.settings import default_lungs
from reedwright.cli.fittable import PARCEL, Job, rows_of
from reedwright.fit.choices import Fitting
from reedwright.fit.costs import Costs
from reedwright.fit.effort import effort
from reedwright.fit.melody import Melody, MelodyNote
from reedwright.fit.search import Search, Timing
from reedwright.fit.sources import Source
from reedwright.fit.ways import Way, Ways
from reedwright.fit.wishes import Wishes, all_harps
from reedwright.harp.tuning import tuning_named

NETWORKX_TIMES = 100.0
ONE_TAB_TIMES = 5.0
ALL_HARPS_MS = 300.0
LONG_MS = 1000.0
PER_NOTE_RATIO = 1.5
TWO_CORES_TIMES = 1.8

_SCALE = (60, 62, 64, 65, 67, 69, 71, 72, 74, 76, 77, 79)
_MELODIES, _TABS = 1000, 50


def tune(notes: int, seed: str = "bench") -> Melody:
    """Steps and small leaps in a major scale, in eighths, with a rest at the end of every bar."""
    draw = random.Random(seed)  # noqa: S311 -- notes, not secrets
    made: list[MelodyNote] = []
    place, at = 4, Fraction(0)
    while len(made) < notes:
        place = min(max(place + draw.choice((-2, -1, -1, 0, 1, 1, 2)), 0), len(_SCALE) - 1)
        made.append(MelodyNote(at, Fraction(1, 2), (_SCALE[place],)))
        at += Fraction(1, 2)
        at += Fraction(1, 2) if at % 4 == Fraction(7, 2) else 0
    return Melody(tuple(made), key=0)


def run() -> list[Row]:
    """All rows of the room."""
    return [*_against_networkx(), _all_harps(), *_long(), _melodies()]


def _layers(melody: Melody) -> tuple[list[tuple[Way, ...]], Timing]:
    ways = Ways(tuning_named("Richter", "C"))
    layers = [ways.of((note.top - 60,)) for note in melody.notes]
    lengths = tuple(float(note.length) * melody.beat_s for note in melody.notes)
    times = tuple(float(b.start - a.start) * melody.beat_s for a, b in pairwise(melody.notes))
    return layers, Timing(lengths, times)


def _searched(melody: Melody) -> Callable[[], int]:
    layers, timing = _layers(melody)
    return lambda: Search(layers, timing, Costs(effort())).best().cost


def _graph(melody: Melody) -> nx.DiGraph:
    """A node for every way of every note, costs on the edges: what networkx searches."""
    layers, timing = _layers(melody)
    costs = Costs(effort())
    graph = nx.DiGraph()
    for at, way in enumerate(layers[0]):
        graph.add_edge("begin", (0, at), weight=costs.note(way, timing.lengths_s[0]))
    for number, (one, two) in enumerate(pairwise(layers)):
        time_s = costs.time_s(timing.times_s[number])
        for i, a in enumerate(one):
            for j, b in enumerate(two):
                weight = costs.move(a, b, time_s) + costs.note(b, timing.lengths_s[number + 1])
                graph.add_edge((number, i), (number + 1, j), weight=weight)
    for at in range(len(layers[-1])):
        graph.add_edge((len(layers) - 1, at), "end", weight=0)
    return graph


def _against_networkx() -> list[Row]:
    """The cheapest tab of many notes, graph or costs included; and the next ones in order."""
    many, few = tune(20_000), tune(32 * 7)
    search = _searched(many)
    if search() != nx.dijkstra_path_length(_graph(many), "begin", "end"):
        raise AssertionError("the optimum is not networkx's")
    layers, timing = _layers(few)

    def in_order() -> list[int]:
        found = Search(layers, timing, Costs(effort())).in_order()
        return [each.cost for each in islice(found, _TABS)]

    def theirs() -> list[int]:
        graph = _graph(few)
        paths = nx.shortest_simple_paths(graph, "begin", "end", weight="weight")
        return [nx.path_weight(graph, path, "weight") for path in islice(paths, _TABS)]

    if in_order() != theirs():
        raise AssertionError("the tabs in order are not networkx's")
    return [
        Row(
            "fit: the best tab of 20,000 notes",
            median_ms(search, rounds=5, warm_up=1),
            Gate.FASTER_AT_LEAST,
            ONE_TAB_TIMES,
            median_ms(lambda: nx.dijkstra_path(_graph(many), "begin", "end"), rounds=3, warm_up=0),
            "networkx, shortest path",
        ),
        Row(
            f"fit: the first {_TABS} tabs of 32 bars, in order",
            median_ms(in_order, rounds=9, warm_up=1),
            Gate.FASTER_AT_LEAST,
            NETWORKX_TIMES,
            median_ms(theirs, rounds=3, warm_up=0),
            "networkx, simple paths in order",
        ),
    ]


def _all_harps() -> Row:
    melody = tune(32 * 7)
    wishes = Wishes(harps=all_harps())

    def fit() -> object:
        return list(islice(Fitting(melody, wishes, effort(), default_lungs()).choices(), 3))

    return Row(
        "fit: 32 bars on 12 keys × 7 tunings, three choices, warm",
        median_ms(fit, rounds=9, warm_up=2),
        Gate.AT_MOST,
        ALL_HARPS_MS,
    )


def _long() -> list[Row]:
    times = {
        notes: median_ms(_searched(tune(notes)), rounds=5, warm_up=1)
        for notes in (25_000, 50_000, 100_000)
    }
    return [
        Row("fit: 100,000 notes on one harp", times[100_000], Gate.AT_MOST, LONG_MS),
        *(
            Row(
                f"fit: a note of {notes:,}",
                times[notes] / notes,
                Gate.RATIO_AT_MOST,
                PER_NOTE_RATIO,
                times[notes // 2] / (notes // 2),
                f"a note of {notes // 2:,}",
            )
            for notes in (50_000, 100_000)
        ),
    ]


_LETTERS = ("C", "D", "E", "F", "G", "A", "B", "c", "d", "e", "f", "g")


def _as_abc(seed: str) -> bytes:
    melody = tune(8 * 7, seed)
    letters = [_LETTERS[_SCALE.index(note.top)] for note in melody.notes]
    bars = ["".join(letters[at : at + 7]) + "z" for at in range(0, len(letters), 7)]
    return ("X:1\nM:4/4\nL:1/8\nK:C\n" + "|".join(bars) + "|]\n").encode()


def _melodies() -> Row:
    """Eight bars each, read and fitted; the pool's start is counted."""
    jobs = [Job(str(at), Source(_as_abc(str(at)), "abc")) for at in range(_MELODIES)]
    wishes = Wishes(harps=all_harps(), choices=1, tabs=1)
    rows_of(jobs[:PARCEL], wishes, None, None, 1)
    spent_ms = {}
    for workers in (1, 2):
        begun_s = time.perf_counter()
        rows_of(jobs, wishes, None, None, workers)
        spent_ms[workers] = 1000 * (time.perf_counter() - begun_s)
    return Row(
        f"fit: {_MELODIES:,} melodies on 12 keys × 7 tunings, two processes",
        spent_ms[2],
        Gate.FASTER_AT_LEAST,
        TWO_CORES_TIMES,
        spent_ms[1],
        "one process",
    )
