"""The bass: a line that stands on each chord's root and walks to the next one.

Conventions: see `session`. The first note of a bar and of each chord is its root. The last note
before a new root leads to it by a step or a fifth. On strong beats the bass plays notes of the
chord; between them it may pass through a sixth, a second, or in minor a fourth. Without a form it
has the key's root and fifth. Where the first note of a bar lies depends on that bar alone, so an
edit of a chord changes its own bar and what leads to it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import exp
from random import Random

from reedwright.band.patterns import Slot
from reedwright.band.session import Session, chord_under, note, strong_beats, thrown
from reedwright.band.values import BandBar, BandNote, Part
from reedwright.band.voicing import MAJOR_KEY, MINOR_KEY
from reedwright.tune.chords import Chord

LEADING = frozenset((0, 1, 2, 5, 7, 12))
"""Semitones to the next root that count as a step, a fifth or its inversion; 0 and 12: it is
there, or an octave off."""

OCTAVE_UP = 30  # percent of bars that begin an octave up where there is room; from memory
NEAR = 4.0  # semitones over which a leap gets e times less likely; from memory
LEAP = 7  # the widest leap inside a line, in semitones (common practice: a fifth)
SAME = 0.02  # weight of playing a note twice in a row; from memory
PASSING = 0.5  # weight of a passing note against a chord note; from memory
HEAVY = 0.06  # velocity a root has above the other notes; from memory


class Bass:
    """Plays bar after bar; knows where each begins."""

    def __init__(self, session: Session, bars: Sequence[BandBar]) -> None:
        self._session = session
        self._low, self._high = session.rules.ranges[Part.BASS]
        self._firsts = [self._first(bar) for bar in bars]
        self._strong = strong_beats(session.beats)
        tune = session.tune
        scale = MINOR_KEY if tune.minor else MAJOR_KEY
        self._key = frozenset((tune.key + step) % 12 for step in scale)
        self._made: dict[tuple[Chord, bool], list[tuple[int, float]]] = {}

    def bar(self, number: int, bar: BandBar) -> Iterator[BandNote]:
        """What the bass plays in one bar."""
        session = self._session
        paused = session.paused(bar)
        if paused:
            return
        dice = session.dice(bar, Part.BASS)
        one = bar.last or paused == 0
        struck = (session.hit(bar),) if one else session.struck(Part.BASS, bar, dice)
        after = self._firsts[min(number + 1, len(self._firsts) - 1)]
        for slot, midi in zip(struck, self._line(number, bar, struck, after, dice), strict=True):
            start = slot.start + bar.start
            yield note(Part.BASS, bar, slot, start, midi, self._level(bar, slot, dice))

    def _level(self, bar: BandBar, slot: Slot, dice: Random) -> float:
        sign = slot.sign if slot.sign in "?X" else "o" if slot.sign == "r" else "x"
        level = self._session.level(bar, sign, dice)
        return min(1.0, level + HEAVY) if slot.sign == "R" else level

    def _line(
        self, number: int, bar: BandBar, struck: Sequence[Slot], after: int, dice: Random
    ) -> list[int]:
        """The pitch of every stroke: roots first, then what leads from one to the next."""
        roots = self._roots(number, bar, struck)
        ends = [*list(roots)[1:], len(struck)]
        line: list[int] = []
        for begin, end in zip(roots, ends, strict=True):
            target = roots.get(end, after)
            chord = self._chord(bar, struck[begin].start)
            line += self._walk(chord, roots[begin], struck[begin:end], target, dice)
        return line

    def _roots(self, number: int, bar: BandBar, struck: Sequence[Slot]) -> dict[int, int]:
        """The strokes that are roots, and their pitch."""
        first = self._firsts[number]
        found: dict[int, int] = {}
        before: Chord | None = None
        for index, slot in enumerate(struck):
            chord = self._chord(bar, slot.start)
            if index == 0 or slot.sign == "R" or chord != before:
                found[index] = self._near(chord.root, first)
            before = chord
        return found

    def _walk(
        self, chord: Chord, root: int, struck: Sequence[Slot], target: int, dice: Random
    ) -> list[int]:
        """A root and the notes after it, on their way to the target."""
        leads = self._leads(struck, root, target, dice)
        line = [root]
        for index, slot in enumerate(struck[1:], 1):
            goal = leads.get(index) or leads.get(min([*leads, len(struck)])) or target
            line.append(leads.get(index) or self._step(chord, root, slot, line[-1], goal, dice))
        self._arrive(chord, struck, line, target, dice)
        return line

    def _step(
        self, chord: Chord, root: int, slot: Slot, before: int, goal: int, dice: Random
    ) -> int:
        sign = slot.sign
        if sign in "r?":
            return before
        if sign in "358":
            return self._named(chord, root, sign)
        weights: dict[int, float] = {}
        for midi, weight in self._tones(chord, strong=self._is_strong(slot)):
            if abs(midi - before) <= LEAP:
                near = exp(-(abs(midi - before) + abs(midi - goal) / 2) / NEAR)
                weights[midi] = weight * near * (SAME if midi == before else 1.0)
        return _drawn(weights, dice) if weights else before

    def _tones(self, chord: Chord, *, strong: bool) -> list[tuple[int, float]]:
        """Notes a line may take over a chord, with their weights."""
        place = (chord, strong)
        if place not in self._made:
            steps = () if strong else passing_tones(chord)
            passing = self._key & {(chord.root + step) % 12 for step in steps}
            shares = dict.fromkeys(passing, PASSING)
            shares |= {(chord.root + step) % 12: 1.0 for step in chord.intervals}
            notes = range(self._low, self._high + 1)
            self._made[place] = [(m, shares[m % 12]) for m in notes if m % 12 in shares]
        return self._made[place]

    def _is_strong(self, slot: Slot) -> bool:
        return any(slot.start <= beat < slot.end for beat in self._strong)

    def _named(self, chord: Chord, root: int, sign: str) -> int:
        """Third, fifth or octave of a chord, inside the range."""
        wanted = {"3": (4, 3), "5": (7, 6, 8), "8": ()}[sign]
        above = next((step for step in wanted if step in chord.intervals), 12 * (sign == "8"))
        return root + above if root + above <= self._high else self._up(root + above - 12)

    def _up(self, midi: int) -> int:
        return midi if midi >= self._low else midi + 12

    def _leads(
        self, struck: Sequence[Slot], root: int, target: int, dice: Random
    ) -> dict[int, int]:
        """The strokes that lead to the target: the last `a` from a step or a fifth away, those
        before it from farther off on the same side."""
        places = [index for index, slot in enumerate(struck) if index and slot.sign == "a"]
        found: dict[int, int] = {}
        for index in reversed(places):
            if not found:
                found[index] = self._lead(root, target, dice)
                continue
            nearest = found[min(found)]
            way = nearest - target
            farther = nearest + (way > 0) - (way < 0) if abs(way) < 3 else nearest
            found[index] = farther if self._low <= farther <= self._high else nearest
        return found

    def _lead(self, before: int, target: int, dice: Random) -> int:
        """A note from which the target is a step or a fifth away."""
        share = self._session.rules.approach
        in_key = [step for step in (-2, 2) if (target + step) % 12 in self._key]
        ways = [(-1, share["half-step"]), (1, share["half-step"] / 2)]
        ways += [(step, share["scale-step"]) for step in in_key]
        ways += [(7, share["fifth"]), (-5, share["fifth"])]
        weights = {
            target + step: weight * exp(-abs(target + step - before) / (2 * NEAR))
            for step, weight in ways
            if self._low <= target + step <= self._high and weight
        }
        if not weights:  # only ways that leave the range were asked for
            return target
        return _drawn(weights, dice)

    def _arrive(
        self, chord: Chord, struck: Sequence[Slot], line: list[int], target: int, dice: Random
    ) -> None:
        """Mend a line whose last notes lead nowhere; on a strong beat by a note of the chord, if
        there is one."""
        last = max((n for n, slot in enumerate(struck) if slot.sign not in "r?"), default=0)
        if last == 0 or abs(line[last] - target) in LEADING:
            return
        before = line[last - 1]
        if self._is_strong(struck[last]):
            tones = [midi for midi, _ in self._tones(chord, strong=True)]
            near = [midi for midi in tones if abs(midi - target) in LEADING]
            lead = min(near, key=lambda midi: (abs(midi - before), midi), default=line[last])
        else:
            lead = self._lead(before, target, dice)
        line[last:] = [lead] * (len(line) - last)

    def _first(self, bar: BandBar) -> int:
        """Where a bar begins: the root, low, sometimes an octave up."""
        root = self._chord(bar, Fraction(0)).root
        midi = self._low + (root - self._low) % 12
        if midi + 12 + LEAP > self._high:
            return midi
        session = self._session
        throw = thrown(f"{session.seed}|{session.chorus(bar)}.{bar.bar}|octave", 100)
        return midi + 12 * (throw < OCTAVE_UP)

    def _near(self, root: int, midi: int) -> int:
        """The nearest note of a pitch class, inside the range."""
        places = range(self._low + (root - self._low) % 12, self._high + 1, 12)
        return min(places, key=lambda place: (abs(place - midi), place))

    def _chord(self, bar: BandBar, at: Fraction) -> Chord:
        return chord_under(bar, at) or Chord(self._session.tune.key, "5")


def passing_tones(chord: Chord) -> tuple[int, ...]:
    """Steps above the root that a line may pass through between strong beats."""
    if chord.minor:
        return (2, 5)
    return (2, 9) if 4 in chord.intervals and 7 in chord.intervals else ()


def _drawn(weights: dict[int, float], dice: Random) -> int:
    """One of the keys, as likely as its weight says."""
    return dice.choices(list(weights), list(weights.values()))[0]
