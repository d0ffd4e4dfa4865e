"""How hard a run of notes is at a tempo: one number and its parts.

Conventions: 0 is nothing to play, 50 is `half` points, 100 is never reached; tempos in counted
beats a minute. Each part is worked out in points first:

    bends   faded(technique · (d - 1))            [d: difficulty of the hardest technique, 1 to 10]
    leaps   faded(hole · h / t + to-bend · (h - 1))            [the latter to bent notes only]
    speed   faded(note · max(0, 1 / t - free-per-s))
    breath  faded(turn / t) + faded(litre · max(0, L - free-l))
    rhythm  faded(point · what the onset asks)
    length  doubling · log2(1 + n)
    number  100 · S / (S + half)                               [S: the sum of the parts]

h holes from edge to edge, t seconds from onset to onset, L litres of a run on one breath, n notes.
`faded` sorts its values, greatest first, and sums (1 - fade) · fadeᵏ times the k-th: a few hard
places make a run hard, and easy notes around them do not make it easier. So by its very form the
number never goes down when a bend or a harder technique, a larger leap, a turn, a further hard
place or a faster tempo comes in. Source: our own; all weights from memory (`data/lesson.toml`).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from reedwright.lesson.demands import Asking, Demands
from reedwright.lesson.settings import LessonTable
from reedwright.performance.perform import check_tempo
from reedwright.tune.place import Score

TOP = 100.0
_DECIMALS = 9  # sums in another order differ in the last bits; the order of numbers must not
_LEAST_WEIGHT = 1e-12
"""Places that weigh less are left out: together they are below a thousandth of nothing."""


@dataclass(frozen=True, slots=True)
class Part:
    """One part: its points, its share of the number (the shares add up to it), and the id of the
    note where it is hardest, empty where nothing is asked or all notes count alike."""

    name: str
    points: float
    share: float
    at: str = ""


@dataclass(frozen=True, slots=True)
class Difficulty:
    """`number` from 0 to below 100, its parts in a fixed order, and the tempo it is for."""

    number: float
    tempo_bpm: Fraction
    parts: tuple[Part, ...]

    def part(self, name: str) -> Part:
        """A part by its name. Errors: KeyError."""
        return {part.name: part for part in self.parts}[name]

    @property
    def hardest(self) -> Part | None:
        """The part that adds most, None where nothing adds."""
        most = max(self.parts, key=lambda part: part.points)
        return most if most.points else None

    @property
    def paced_points(self) -> float:
        """Points of what tempo makes harder: leaps, speed, breath."""
        return sum(part.points for part in self.parts if part.name in PACED)


PACED = ("leaps", "speed", "breath")


def difficulty_of(
    score: Score, tempo_bpm: Fraction | None = None, table: LessonTable | None = None
) -> Difficulty:
    """The difficulty of a whole tune, at its full tempo when none is given. Near linear in its
    notes. Errors: SettingError for a tempo nobody can count, or for a teacher's own table."""
    asking = Asking(score.tune, table)
    tempo = score.tune.full_tempo_bpm if tempo_bpm is None else tempo_bpm
    return difficulty_at(asking.of(score.events), tempo, asking.table)


def difficulty_at(demands: Demands, tempo_bpm: Fraction, table: LessonTable) -> Difficulty:
    """The difficulty of a run of notes. Errors: SettingError for a tempo nobody can count."""
    check_tempo(tempo_bpm)
    fade = table["scale"]["fade"]
    rows = [
        (name, [_faded(values, fade) for values in lists], lists[0])
        for name, lists in _lists(demands, float(tempo_bpm), table)
    ]
    points = [(name, sum(sums), _at(demands.ids, values)) for name, sums, values in rows]
    length = table["length"]["doubling"] * math.log2(1 + len(demands.ids))
    points.append(("length", length, ""))
    total = sum(value for _, value, _ in points)
    number = round(TOP * total / (total + table["scale"]["half"]), _DECIMALS)
    each = number / total if total else 0.0
    parts = tuple(Part(name, value, value * each, at) for name, value, at in points)
    return Difficulty(number, tempo_bpm, parts)


def _lists(
    demands: Demands, tempo_bpm: float, table: LessonTable
) -> Iterator[tuple[str, tuple[list[float], ...]]]:
    """The values of each part but the length, note by note."""
    least_s, beat_s = table["scale"]["least-time-s"], 60.0 / tempo_bpm
    rates = [1.0 / max(gap * beat_s, least_s) if gap else 0.0 for gap in demands.gap_beats]
    leaps, speed, breath = table["leaps"], table["speed"], table["breath"]
    yield "bends", (list(demands.bends),)
    yield (
        "leaps",
        (
            [
                leaps["hole"] * holes * rate + leaps["to-bend"] * bent
                for holes, bent, rate in zip(demands.holes, demands.to_bend, rates, strict=True)
            ],
        ),
    )
    yield "speed", ([speed["note"] * max(0.0, rate - speed["free-per-s"]) for rate in rates],)
    turns = [breath["turn"] * turn * rate for turn, rate in zip(demands.turns, rates, strict=True)]
    yield "breath", (turns, list(demands.air))
    yield "rhythm", (list(demands.rhythm),)


def _faded(values: Sequence[float], fade: float) -> float:
    """The weighted sum of the values, greatest first, each next one counting `fade` as much."""
    total, weight = 0.0, 1.0 - fade
    for value in sorted(values, reverse=True):
        if value <= 0.0 or weight < _LEAST_WEIGHT:
            break
        total += weight * value
        weight *= fade
    return total


def _at(ids: Sequence[str], values: Sequence[float]) -> str:
    """The first note where a part is hardest."""
    most = max(values, default=0.0)
    return ids[list(values).index(most)] if most > 0.0 else ""
