"""The cheapest tab against networkx's shortest path, and further tabs against its simple paths.

Source of the oracle: networkx (BSD-3-Clause), `dijkstra_path_length` and `shortest_simple_paths`
(Yen's method), on a graph with a node for every way of every note. The costs are worked out anew
here from the formula in docs/fit.md, not by the room's own functions.
"""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import islice, pairwise

import networkx as nx
import pytest

from reedwright.fit.costs import Costs
from reedwright.fit.effort import Effort, effort
from reedwright.fit.melody import Melody, MelodyNote
from reedwright.fit.search import Search, Timing
from reedwright.fit.ways import Way, Ways
from reedwright.harp.tuning import tuning_named

TUNINGS = ("Richter", "country", "natural minor", "solo")


def own_cost(way: Way, length_s: float, weights: Effort) -> float:
    points = weights.note["technique"] * (way.difficulty - 1)
    if any(note.bend or note.over for note in way.notes):
        points += weights.note["held-bend"] * max(0.0, length_s - weights.note["held-free-s"])
    return round(1000 * points)


def move_cost(a: Way, b: Way, time_s: float, weights: Effort) -> float:
    if a is b:
        return 0
    w = weights.move
    t = round(min(max(time_s, w["least-time-s"]), w["most-time-s"]), 3)
    left, right = sorted(([n.hole for n in a.notes], [n.hole for n in b.notes]), key=max)
    h = max(min(right) - max(left), 0)
    points = w["hole"] * max(0.0, h - w["hole-free"]) / t
    points += w["turn"] / t * (a.notes[0].breath is not b.notes[0].breath)
    if any(note.bend or note.over for note in b.notes):
        points += w["leap-to-bend"] * max(0, h - 1)
        points += w["bend-to-bend"] * any(note.bend or note.over for note in a.notes)
    points += w["button"] * (a.notes[0].button != b.notes[0].button)
    return round(1000 * points)


def case(seed: str, count: int, least: int = 1) -> tuple[Melody, list[tuple[Way, ...]]]:
    draw = random.Random(seed)
    ways = Ways(tuning_named(draw.choice(TUNINGS), "C"))
    notes: list[MelodyNote] = []
    layers: list[tuple[Way, ...]] = []
    at = Fraction(0)
    while len(notes) < count:
        pitch = draw.randint(ways.lowest, ways.highest)
        found = ways.of((pitch,))
        if len(found) >= least:
            length = draw.choice([Fraction(1, 4), Fraction(1, 2), Fraction(1), Fraction(3)])
            notes.append(MelodyNote(at, length, (60 + pitch,)))
            layers.append(found)
            at += length + draw.choice([Fraction(0), Fraction(0), Fraction(1, 2)])
    return Melody(tuple(notes)), layers


def graph_of(melody: Melody, layers: list[tuple[Way, ...]]) -> nx.DiGraph:
    weights = effort()
    graph = nx.DiGraph()
    for at, way in enumerate(layers[0]):
        graph.add_edge("begin", (0, at), weight=_own(melody, 0, way, weights))
    for number, (one, two) in enumerate(pairwise(layers)):
        time_s = float(melody.notes[number + 1].start - melody.notes[number].start) * melody.beat_s
        for i, a in enumerate(one):
            for j, b in enumerate(two):
                cost = move_cost(a, b, time_s, weights) + _own(melody, number + 1, b, weights)
                graph.add_edge((number, i), (number + 1, j), weight=cost)
    for at in range(len(layers[-1])):
        graph.add_edge((len(layers) - 1, at), "end", weight=0)
    return graph


def _own(melody: Melody, number: int, way: Way, weights: Effort) -> float:
    return own_cost(way, float(melody.notes[number].length) * melody.beat_s, weights)


def searched(melody: Melody, layers: list[tuple[Way, ...]]) -> Search:
    beat_s = melody.beat_s
    lengths = tuple(float(note.length) * beat_s for note in melody.notes)
    times = tuple(float(b.start - a.start) * beat_s for a, b in pairwise(melody.notes))
    return Search(layers, Timing(lengths, times), Costs(effort()))


@pytest.mark.parametrize("seed", range(20))
def test_the_cheapest_of_all(seed: int) -> None:
    melody, layers = case(f"one {seed}", 300)
    shortest = nx.dijkstra_path_length(graph_of(melody, layers), "begin", "end")
    assert searched(melody, layers).best().cost == shortest


@pytest.mark.parametrize("seed", range(10))
def test_the_next_ones_in_order(seed: int) -> None:
    melody, layers = case(f"many {seed}", 9, least=2)
    graph = graph_of(melody, layers)
    paths = islice(nx.shortest_simple_paths(graph, "begin", "end", weight="weight"), 40)
    theirs = [nx.path_weight(graph, path, "weight") for path in paths]
    ours = [found.cost for found in islice(searched(melody, layers).in_order(), 40)]
    assert ours == theirs
    assert len(theirs) == 40
