"""Voicings: which notes a chord has under the guitarist's or the keyboard player's hands.

Conventions: MIDI notes, low to high. Voicings are close and stay inside the part's range. Each is
the one that moves least from the home chord of its chorus, not from the chord before it: so all
lie near each other, steps from chord to chord are small, and a chord edited in one bar moves no
other bar's. Notes that are not the chord's own are taken only where they belong to the key.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from reedwright.band.rules import Rules
from reedwright.band.values import Part
from reedwright.tune.chords import QUALITIES, Chord

MAJOR_KEY = frozenset((0, 2, 3, 4, 5, 7, 9, 10, 11))
"""Where a major blues is at home: major with the blue third and seventh (common practice)."""

MINOR_KEY = frozenset((0, 2, 3, 5, 7, 8, 10))
"""Natural minor (common practice)."""

SEMITONE_COST = 4
"""Two neighbours a semitone apart count as so much motion: a last resort (from memory)."""

Voicing = tuple[int, ...]


class Voicings:
    """Voicings of the chords of one tune, each worked out once."""

    def __init__(self, rules: Rules, key: int, *, minor: bool) -> None:
        self._rules, self._key = rules, key
        self._scale = MINOR_KEY if minor else MAJOR_KEY
        self._home = Chord(key, "m7" if minor else "7")
        self._made: dict[tuple[Part, Chord, int, int], Voicing] = {}
        self._choices: dict[tuple[Part, Chord], tuple[tuple[int, ...], ...]] = {}

    def voicing(self, part: Part, chord: Chord, choice: int, shift: int) -> Voicing:
        """A chord in one of its `choices` (counted round); `shift` moves the hand's home by
        semitones."""
        choices = self.choices(part, chord)
        place = (part, chord, choice % len(choices), shift)
        if place not in self._made:
            home = self._home_voicing(part, shift)
            tones = choices[place[2]]
            self._made[place] = min(
                self._stacks(part, chord.root, tones), key=lambda stack: (_cost(stack, home), stack)
            )
        return self._made[place]

    def choices(self, part: Part, chord: Chord) -> tuple[tuple[int, ...], ...]:
        """The notes a chord may be played with, in semitones above its root."""
        place = (part, chord)
        if place not in self._choices:
            named = self._rules.voicings[part].get(chord.quality, ())
            fitting = tuple(tones for tones in named if self._in_key(tones, chord))
            self._choices[place] = fitting or (own_tones(chord.quality),)
        return self._choices[place]

    def _in_key(self, tones: tuple[int, ...], chord: Chord) -> bool:
        strange = set(tones) - set(chord.intervals)
        return all((chord.root + tone - self._key) % 12 in self._scale for tone in strange)

    def _home_voicing(self, part: Part, shift: int) -> Voicing:
        low, high = self._rules.ranges[part]
        middle = (low + high) / 2 + shift
        stacks = self._stacks(part, self._home.root, self.choices(part, self._home)[0])
        return min(stacks, key=lambda stack: (abs(sum(stack) / len(stack) - middle), stack))

    def _stacks(self, part: Part, root: int, tones: tuple[int, ...]) -> Iterator[Voicing]:
        """Every close voicing inside the part's range. There is always one: the turn that begins on
        the first of its notes above the bottom spans less than an octave from there."""
        low, high = self._rules.ranges[part]
        classes = sorted({(root + tone) % 12 for tone in tones})
        for turn in range(len(classes)):
            order = classes[turn:] + classes[:turn]
            steps = [(pitch - order[0]) % 12 for pitch in order]
            first = low + (order[0] - low) % 12
            yield from (
                tuple(base + step for step in steps)
                for base in range(first, high - steps[-1] + 1, 12)
            )


def own_tones(quality: str) -> tuple[int, ...]:
    """A chord's own notes without its root, which the bass has; all where few would be left."""
    own = tuple(tone for tone in QUALITIES[quality] if tone)
    return own if len(own) > 2 else QUALITIES[quality]


def motion(one: Voicing, other: Voicing) -> int:
    """Semitones that fingers move: each note to the nearest of the other, the larger sum of the
    two ways."""
    there = sum(min(abs(note - to) for to in other) for note in one)
    back = sum(min(abs(note - to) for to in one) for note in other)
    return max(there, back)


def _cost(stack: Voicing, home: Voicing) -> int:
    rubs = sum(high - low == 1 for low, high in pairwise(stack))
    return motion(stack, home) + SEMITONE_COST * rubs
