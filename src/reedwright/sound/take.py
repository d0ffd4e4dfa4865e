"""A tune on one harp at one tempo, as harp and band play it: what all its recordings are cut from.

Conventions: `offset` in samples moves moments of the whole performance into a recording that begins
elsewhere. Bars count from 0 at bar 1 of the first chorus, as in `recordings`.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from hashlib import sha256

from reedwright.band.arrange import arrange
from reedwright.band.play import track_samples
from reedwright.band.values import Arrangement, Options
from reedwright.harp.harp import Harp
from reedwright.performance.countin import clicks
from reedwright.performance.perform import perform
from reedwright.performance.play import play
from reedwright.performance.playing import Click, Played, Playing
from reedwright.performance.values import Performance
from reedwright.sound.signal import samples_at
from reedwright.tune.place import Score


@dataclass(frozen=True, slots=True)
class Font:
    """A SoundFont that plays the band: its bytes, checked by `band.soundfont.read_font`."""

    name: str
    data: bytes = field(repr=False)

    @property
    def key(self) -> str:
        return sha256(self.data).hexdigest()


@dataclass(frozen=True, slots=True)
class Manner:
    """How all is played: the seed, how loose the timing is, what the band is asked for, and the
    font that plays it (our own instruments for None)."""

    seed: int = 0
    human: float = 1.0
    band: Options = field(default_factory=Options)
    font: Font | None = None


class Take:
    """One tune on one harp at one tempo. Each step is worked out when it is first asked for."""

    def __init__(self, score: Score, harp: Harp, tempo_bpm: Fraction, manner: Manner) -> None:
        self.score = on_harp(score, harp)
        self.tempo_bpm, self.manner = tempo_bpm, manner

    @cached_property
    def performance(self) -> Performance:
        return perform(self.score, self.tempo_bpm)

    @cached_property
    def played(self) -> Played:
        return play(self.performance, self.manner.seed, self.manner.human)

    @cached_property
    def arrangement(self) -> Arrangement:
        return arrange(self.score, seed=self.manner.seed, options=self.manner.band)

    @cached_property
    def samples(self) -> int:
        """From the first sample of the count-in to where the band has faded."""
        return track_samples(self.arrangement, self.performance)

    def playings(self, ids: frozenset[str] | None) -> tuple[Playing, ...]:
        """The playings of some events, of all for None."""
        chosen = self.played.playings
        return chosen if ids is None else tuple(one for one in chosen if one.id in ids)

    def beat_sample(self, beats: int | Fraction) -> int:
        """The sample of a beat counted from the first bar (the count-in lies before it)."""
        count_in = self.performance.count_in_beats
        return samples_at(self.performance.seconds(beats + count_in))

    def bar_sample(self, bar: int) -> int:
        """The sample at which a bar begins, in the whole performance."""
        return self.beat_sample(bar * self.score.tune.meter.beats)

    def count_in(self, ids: frozenset[str] | None, first_bar: int) -> tuple[Click, ...]:
        """The count-in before a bar, with a click where a pickup of these events comes in."""
        count = self.performance.count_in_beats
        before = first_bar * self.score.tune.meter.beats
        first = min((one.timed.onset_beats for one in self.playings(ids)), default=None)
        pickup = None if first is None or first - before >= count else first - before
        return tuple(clicks(self.performance, count, pickup))


def on_harp(score: Score, harp: Harp) -> Score:
    """The same tab on another harp: the form's chords move with it."""
    tune = score.tune
    if harp == tune.harp:
        return score
    moved = replace(tune, harp=harp)
    return replace(score, tune=replace(moved, form=tune.form.up(moved.key - tune.key)))
