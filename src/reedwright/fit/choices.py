"""Harps for a melody, best first: the cheapest breathable tab of every harp and octave, in order.

Conventions: `shift_semitones` is how far the melody is moved before it is played. What is played
depends on the tuning and on the distance between melody and harp alone, so it is worked out once
for each and serves every key. The cost of a choice is that of its tab and of the harp (another
register or tuning, octaves moved, an odd position); costs are whole thousandths of a point. Equal
choices stand in this order: fewer octaves moved, the harp named first, up before down.

The breath is a hard limit on top: the tabs of a choice are tried in order until one can be
breathed, at most `MAX_TRIED` of them, fewer for a long melody (`MAX_WORK` notes in all).
Notes out of reach: with `fold` they move by as few octaves as bring them onto the harp, else with
`drop` they are left out; with neither, such a choice is none.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from reedwright.breath.lungs import Lungs
from reedwright.fit.breathe import breathable
from reedwright.fit.costs import POINT, Costs
from reedwright.fit.effort import Effort
from reedwright.fit.homekey import likely_key
from reedwright.fit.melody import Melody
from reedwright.fit.search import Found, Moves, Search, Timing
from reedwright.fit.ways import Way, Ways
from reedwright.fit.wishes import Wishes
from reedwright.harp.harp import Harp, Variant
from reedwright.harp.pitch import harp_key
from reedwright.harp.position import position_of
from reedwright.harp.tuning import Tuning
from reedwright.tune.tokens import format_sound
from reedwright.tune.values import Sound

MAX_TRIED = 1000
MAX_WORK = 500_000
_USUAL_POSITIONS = (1, 2, 3)
_WORTH_A_LOOK = 0.5  # of the notes must be on the harp, even where some may be folded or dropped


@dataclass(frozen=True, slots=True)
class Choice:
    """One harp with one tab.

    Attributes:
        harp, position: what to play it on; `key` is the pitch class it then sounds in.
        shift_semitones: how far the melody was moved.
        cost: thousandths of a point, tab and harp together.
        ways: how each note of the melody is played, None for one left out.
        folded: places of the notes moved by an octave.
        breath_ok: whether it can be breathed.
        tried: how many tabs were tried before this one, which is the first that can be breathed.
    """

    harp: Harp
    position: int
    key: int
    shift_semitones: int
    cost: int
    ways: tuple[Way | None, ...]
    folded: tuple[int, ...] = ()
    breath_ok: bool = True
    tried: int = 0

    @property
    def tab(self) -> tuple[str, ...]:
        """The notes as tab tokens, empty for one left out."""
        return tuple("" if way is None else format_sound(Sound(way.notes)) for way in self.ways)


@dataclass(frozen=True, slots=True)
class _Solved:
    """A melody on one tuning at one distance: the layers that can be played and what they are."""

    search: Search
    reached: tuple[int, ...]
    folded: tuple[int, ...]
    extra: int  # thousandths, for notes folded and left out


class Fitting:
    """A melody being fitted; remembers what was worked out for each tuning and distance."""

    def __init__(self, melody: Melody, wishes: Wishes, effort: Effort, lungs: Lungs) -> None:
        self.melody, self.wishes, self.lungs = melody, wishes, lungs
        self._effort, self._costs = effort, Costs(effort)
        key, _ = (melody.key, melody.minor) if melody.key is not None else likely_key(melody)
        self._key = key
        self._ways: dict[Tuning, Ways] = {}
        self._solved: dict[tuple[Tuning, int], _Solved | None] = {}
        self._moves: dict[Tuning, Moves] = {}
        self._sounds = list(dict.fromkeys(note.pitches for note in melody.notes))
        self._pitches = sorted({pitch for sound in self._sounds for pitch in sound})
        self._all = range(len(melody.notes))
        self._whole = _timing(melody, self._all)

    def choices(self) -> Iterator[Choice]:
        """Every choice that can be breathed, best first."""
        return (choice for choice in self.all_choices() if choice.breath_ok)

    def all_choices(self) -> Iterator[Choice]:
        """Every choice, best first; one that cannot be breathed comes with its cheapest tab."""
        candidates = self._candidates()
        waiting = [
            (solved.search.least + solved.extra + self._of_harp(harp, shift), order)
            for order, (harp, shift, solved) in enumerate(candidates)
        ]
        heapq.heapify(waiting)
        ready: dict[int, Choice] = {}
        while waiting:
            order = heapq.heappop(waiting)[1]
            if order in ready:
                yield ready.pop(order)
                continue
            choice = ready[order] = self._breathing(*candidates[order])
            heapq.heappush(waiting, (choice.cost, order))
            # A dearer tab may have had to be taken, so the choice waits its turn once more.

    def tabs(self, choice: Choice) -> Iterator[Choice]:
        """Every breathable tab of a choice's harp, cheapest first."""
        solved = self._solve(choice.harp.tuning, choice.harp.key_midi - choice.shift_semitones)
        if solved is not None:
            for tried, found in self._few(solved):
                made = self._choice(choice.harp, choice.shift_semitones, solved, found, tried)
                if breathable(self.melody, made.ways, self.lungs):
                    yield made

    def _candidates(self) -> list[tuple[Harp, int, _Solved]]:
        """Harps and shifts on which the melody can be played, in the order of ties."""
        found: list[tuple[int, int, int, Harp, _Solved]] = []
        for number, harp in enumerate(self.wishes.harps):
            for shift in self._shifts(harp):
                solved = self._solve(harp.tuning, harp.key_midi - shift)
                if solved is not None and self._position_fits(harp, shift):
                    found.append((abs(_octaves(shift)), number, -shift, harp, solved))
        found.sort(key=lambda row: row[:3])
        return [(harp, -down, solved) for _, _, down, harp, solved in found]

    def _position_fits(self, harp: Harp, shift: int) -> bool:
        return self.wishes.position in (0, self._position(harp, shift))

    def _position(self, harp: Harp, shift: int) -> int:
        return position_of(harp, harp_key((self._key + shift) % 12))

    def _shifts(self, harp: Harp) -> Iterator[int]:
        """Shifts that bring some of the melody onto the harp."""
        if not self._pitches:
            return
        ways = self._of_tuning(harp.tuning)
        lowest = harp.key_midi + ways.lowest - self._pitches[-1]
        highest = harp.key_midi + ways.highest - self._pitches[0]
        for shift in range(lowest, highest + 1):
            if self.wishes.transpose or shift % 12 == 0:
                yield shift

    def _of_harp(self, harp: Harp, shift: int) -> int:
        """What the harp and the shift cost."""
        weight = self._effort.harp
        points = self._effort.of_tuning(harp.tuning.name)
        points += weight["low-or-high"] * (harp.variant is not Variant.STANDARD)
        points += weight["octave"] * abs(_octaves(shift))
        points += weight["transposed"] * (shift % 12 != 0)
        points += weight["odd-position"] * (self._position(harp, shift) not in _USUAL_POSITIONS)
        return round(points * POINT)

    def _of_tuning(self, tuning: Tuning) -> Ways:
        if tuning not in self._ways:
            self._ways[tuning] = Ways(tuning, self.wishes.abilities)
        return self._ways[tuning]

    def _solve(self, tuning: Tuning, base: int) -> _Solved | None:
        key = tuning, base
        if key not in self._solved:
            self._solved[key] = self._solve_anew(self._of_tuning(tuning), base)
        return self._solved[key]

    def _solve_anew(self, ways: Ways, base: int) -> _Solved | None:
        """Each sound of the melody is looked up once, then the notes follow."""
        by_sound: dict[tuple[int, ...], tuple[Way, ...]] = {}
        astray: set[tuple[int, ...]] = set()
        for sound in self._sounds:
            pitches = tuple(pitch - base for pitch in sound)
            by_sound[sound] = found = ways.of(pitches)
            if not found:
                astray.add(sound)
                by_sound[sound] = found = self._folded(ways, pitches) if self.wishes.fold else ()
                if not found and not self.wishes.drop:
                    return None
        notes = self.melody.notes
        missing = [at for at in self._all if notes[at].pitches in astray] if astray else []
        if len(missing) > (1 - _WORTH_A_LOOK) * len(notes):
            return None
        folded = tuple(at for at in missing if by_sound[notes[at].pitches])
        layers = [found for note in notes if (found := by_sound[note.pitches])]
        if not layers:
            return None
        dropped = len(notes) - len(layers)
        reached = tuple(at for at in self._all if by_sound[notes[at].pitches]) if dropped else ()
        timing = _timing(self.melody, reached) if dropped else self._whole
        weight = self._effort.note
        extra = weight["folded"] * len(folded) + weight["dropped"] * dropped
        moves = self._moves.setdefault(ways.tuning, Moves(self._costs))
        search = Search(layers, timing, self._costs, moves)
        return _Solved(search, reached or tuple(self._all), folded, round(extra * POINT))

    @staticmethod
    def _folded(ways: Ways, pitches: tuple[int, ...]) -> tuple[Way, ...]:
        """The ways an octave away, of as few octaves as it takes, from above and below."""
        for octaves in range(1, 11):
            found = [
                ways.of(tuple(p + by for p in pitches)) for by in (-12 * octaves, 12 * octaves)
            ]
            if any(found):
                return found[0] + found[1]
        return ()

    def _breathing(self, harp: Harp, shift: int, solved: _Solved) -> Choice:
        """The first tab that can be breathed, or the cheapest when none of those tried can."""
        for tried, found in self._few(solved):
            choice = self._choice(harp, shift, solved, found, tried)
            if breathable(self.melody, choice.ways, self.lungs):
                return choice
        return self._choice(harp, shift, solved, solved.search.best(), 0, breath_ok=False)

    def _few(self, solved: _Solved) -> Iterator[tuple[int, Found]]:
        """Tabs in order, as many as are tried; the first by the quick way."""
        yield 0, solved.search.best()
        most = min(MAX_TRIED, MAX_WORK // len(solved.reached))
        if most > 1:
            for tried, found in enumerate(solved.search.in_order()):
                if tried >= most:
                    return
                if tried:
                    yield tried, found

    def _choice(
        self,
        harp: Harp,
        shift: int,
        solved: _Solved,
        found: Found,
        tried: int,
        *,
        breath_ok: bool = True,
    ) -> Choice:
        ways: list[Way | None] = [None] * len(self.melody.notes)
        for at, way in zip(solved.reached, found.ways, strict=True):
            ways[at] = way
        return Choice(
            harp=harp,
            position=self._position(harp, shift),
            key=(self._key + shift) % 12,
            shift_semitones=shift,
            cost=found.cost + solved.extra + self._of_harp(harp, shift),
            ways=tuple(ways),
            folded=solved.folded,
            breath_ok=breath_ok,
            tried=tried,
        )


def _timing(melody: Melody, reached: Sequence[int]) -> Timing:
    beat_s = melody.beat_s
    notes = [melody.notes[at] for at in reached]
    lengths = tuple(float(note.length) * beat_s for note in notes)
    times = tuple(float(after.start - before.start) * beat_s for before, after in pairwise(notes))
    return Timing(lengths, times)


def _octaves(shift: int) -> int:
    """Whole octaves in a shift, the nearest number of them."""
    return round(Fraction(shift, 12))
