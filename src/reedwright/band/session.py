"""What every player of the band knows: the tune, the rules, the style, and the dice.

Conventions: dice are thrown by (seed, chorus, bar, part), so an edit of one bar leaves the others
alone; where every chorus shall be alike, all throw those of chorus 1. Velocities above 0 up to 1.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from hashlib import sha256
from random import Random

from reedwright.band.patterns import Row, Slot, joined, pieces, slots, struck_again
from reedwright.band.rules import Rules, Style
from reedwright.band.values import BandBar, BandNote, Options, Part
from reedwright.tune.chords import Chord
from reedwright.tune.tune import Tune

HIT = Fraction(1, 2)
"""Counted beats of the stroke before a break; from memory."""

LEAST_VELOCITY = 0.05


@dataclass(frozen=True, slots=True)
class Session:
    """One arrangement in the making."""

    tune: Tune
    rules: Rules
    style: Style
    seed: int
    options: Options

    @property
    def beats(self) -> int:
        return self.tune.meter.beats

    @property
    def compound(self) -> bool:
        return self.tune.meter.compound

    def chorus(self, bar: BandBar) -> int:
        """The chorus as far as choices go."""
        return 1 if self.options.alike else bar.chorus

    def dice(self, bar: BandBar, part: Part) -> Random:
        """The dice of one part in one bar."""
        text = f"{self.seed}|{self.chorus(bar)}.{bar.bar}|{part.value}"
        return Random(text)  # noqa: S311 - music, no secret

    def of_phrase(self, bar: BandBar, part: Part, count: int) -> int:
        """A throw that all bars of a phrase share, from 0 up to less than `count`."""
        phrase = (bar.bar - 1) // self.rules.phrase
        return thrown(f"{self.seed}|{self.chorus(bar)}|phrase {phrase}|{part.value}", count)

    def of_chorus(self, bar: BandBar, part: Part, count: int) -> int:
        """A throw that all bars of a chorus share, from 0 up to less than `count`."""
        return thrown(f"{self.seed}|{self.chorus(bar)}|{part.value}", count)

    def row(self, part: Part, bar: BandBar, dice: Random) -> Row:
        """The row a pitched part plays in a bar: its phrase's, now and then another; a turn leads
        out of the chorus."""
        lines = self.style.lines[part]
        count = max(len(lines["four"]), len(lines["three"]))
        choice = self.of_phrase(bar, part, count)
        if dice.random() < self.rules.vary:
            choice += 1 + dice.randrange(max(1, count - 1))
        by_beats = {
            4: lines["four"][choice % len(lines["four"])],
            3: lines["three"][choice % len(lines["three"])],
        }
        end = dice.choice(lines["turn"]) if bar.turn else ()
        return joined(by_beats, self.beats, end=end)

    def level(self, bar: BandBar, sign: str, dice: Random) -> float:
        """Velocity of a sign `x`, `X`, `o` or `?`."""
        steps = self.rules.dynamics
        level = self.rules.velocity[sign] * steps[min(self.chorus(bar), len(steps)) - 1]
        jitter = self.rules.jitter
        return round(min(1.0, max(LEAST_VELOCITY, level + dice.uniform(-jitter, jitter))), 4)

    def sounds(self, slot: Slot, dice: Random) -> bool:
        """Whether a stroke is played this time: one with a `?` now and then."""
        return slot.sign != "?" or dice.random() < self.rules.now_and_then

    def struck(self, part: Part, bar: BandBar, dice: Random) -> tuple[Slot, ...]:
        """The strokes of a pitched part in a bar; what sounds across a change of chord is struck
        again there."""
        row = slots(self.row(part, bar, dice), self.compound)
        played = [slot for slot in row if self.sounds(slot, dice)]
        return struck_again(played, [start for start, _ in bar.chords])

    def paused(self, bar: BandBar) -> int | None:
        """How many bars of a break came before this one; None where the band plays."""
        for pause in self.options.breaks:
            inside = bar.bar - pause.bar
            if pause.chorus in (0, bar.chorus) and 0 <= inside < pause.bars:
                return inside
        return None

    def hit(self, bar: BandBar) -> Slot:
        """The one stroke of a last bar, which rings, or of a bar that begins a break."""
        length = Fraction(self.beats) if bar.last else HIT
        return Slot(Fraction(0), length, 1, length.denominator, "X")


def thrown(text: str, count: int) -> int:
    """One throw from 0 up to less than `count`, always the same for the same text."""
    return int.from_bytes(sha256(text.encode()).digest()[:8], "big") % count


def note(
    part: Part, bar: BandBar, slot: Slot, start: Fraction, midi: int, velocity: float
) -> BandNote:
    """A stroke of a bar as a note; `start`: the stroke's, from bar 1 of the first chorus."""
    length, split, end_split = slot.length, slot.split, slot.end_split
    return BandNote(part, start, length, midi, velocity, bar.chorus, bar.bar, split, end_split)


def chord_under(bar: BandBar, at: Fraction) -> Chord | None:
    """The chord at a place of a bar; None without a form."""
    if len(bar.chords) == 1:
        return bar.chords[0][1]
    return next((chord for start, chord in reversed(bar.chords) if start <= at), None)


def strong_beats(beats: int) -> tuple[int, ...]:
    """The beats, from 0, that bear the chord: the first of each four or three, and the third of a
    four (common practice)."""
    found: list[int] = []
    at = 0
    for size in pieces(beats):
        found += [at, at + 2] if size == 4 else [at]
        at += size
    return tuple(found)
