"""What every player of the band knows: the tune, the rules, the style, and the dice.

Conventions: dice are thrown by (seed, chorus, bar, part), so an edit of one bar leaves the others
alone; where every chorus shall be alike, all throw those of chorus 1. Velocities above 0 up to 1.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from random import Random

from reedwright.band.patterns import Row, Slot, joined, pieces
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
        return dice_of(f"{self.seed}|{self.chorus(bar)}.{bar.bar}|{part.value}")

    def phrase_dice(self, bar: BandBar, part: Part) -> Random:
        """The dice that all bars of a phrase share."""
        phrase = (bar.bar - 1) // self.rules.phrase
        return dice_of(f"{self.seed}|{self.chorus(bar)}|phrase {phrase}|{part.value}")

    def chorus_dice(self, bar: BandBar, part: Part) -> Random:
        return dice_of(f"{self.seed}|{self.chorus(bar)}|{part.value}")

    def row(self, part: Part, bar: BandBar, dice: Random) -> Row:
        """The row a pitched part plays in a bar: its phrase's, now and then another; a turn leads
        out of the chorus."""
        lines = self.style.lines[part]
        count = max(len(lines["four"]), len(lines["three"]))
        choice = self.phrase_dice(bar, part).randrange(count)
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

    def sounds(self, slots: Iterable[Slot], dice: Random) -> Iterator[Slot]:
        """The strokes that are played this time: those with a `?` now and then."""
        for slot in slots:
            if slot.sign != "?" or dice.random() < self.rules.now_and_then:
                yield slot

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


def dice_of(text: str) -> Random:
    """Dice that always fall alike for the same text."""
    return Random(text)  # noqa: S311 - music, no secret


def note(
    part: Part, bar: BandBar, slot: Slot, midi: int, velocity: float, *, fill: bool = False
) -> BandNote:
    """A stroke of a bar as a note."""
    return BandNote(
        part=part,
        start=slot.start + bar.start,
        length=slot.length,
        midi=midi,
        velocity=velocity,
        chorus=bar.chorus,
        bar=bar.bar,
        split=slot.split,
        end_split=slot.end_split,
        fill=fill,
    )


def chord_under(bar: BandBar, at: Fraction) -> Chord | None:
    """The chord at a place of a bar; None without a form."""
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
