"""How each recording is mixed: its sources, how loud each is and on which side.

Conventions: `start` is the recording's sample at which the first sample of a source stands; gains
are factors for left and right. A mix whose sources all stand in the middle and have one channel is
mono. Levels before loudness: the harp as the voice gives it, the band as its room mixes it
(measured: the harp lies about 4 LU above the band, docs/sound.md); the amplified harp is brought to
the loudness of the acoustic one, so that a teacher's amplifier settings change its sound only.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import isfinite

import numpy as np

from reedwright.sound.cache import Store, key_of
from reedwright.sound.level import stepped
from reedwright.sound.signal import Samples, amplitude, finite

RECIPE = 1
"""Goes up when a recording is mixed otherwise."""

MIDDLE = (1.0, 1.0)
LEFT, RIGHT = (1.0, 0.0), (0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Source:
    """One thing that is heard. `key` says all it is made from; `sound` gives its samples, mono or
    stereo; `fold`: a stereo source is heard as one channel, at one side or in the middle."""

    key: str
    sound: Callable[[Store], Samples]
    start: int = 0
    sides: tuple[float, float] = MIDDLE
    stereo: bool = False
    fold: bool = False

    @property
    def said(self) -> tuple[object, ...]:
        return (self.key, self.start, self.sides, self.fold)


@dataclass(frozen=True, slots=True)
class Mix:
    """A recording to be made. `round_trip`: what passes its end comes in at its start; `rounds`:
    how often the whole is heard; `fade`: samples in which its end is faded out."""

    samples: int
    sources: tuple[Source, ...]
    round_trip: bool = False
    rounds: int = 1
    fade: int = 0

    @property
    def mono(self) -> bool:
        return all(
            not (one.stereo and not one.fold) and one.sides == MIDDLE for one in self.sources
        )

    @property
    def key(self) -> str:
        said = tuple(one.said for one in self.sources)
        return key_of("mix", RECIPE, self.samples, said, self.round_trip, self.rounds, self.fade)

    def sound(self, store: Store) -> Samples:
        """The samples, (samples,) or (samples, 2). Errors: SoundError."""
        out = np.zeros(self.samples if self.mono else (self.samples, 2), np.float32)
        for source in self.sources:
            self._add(out, _sided(source, source.sound(store), self.mono), source.start)
        if self.fade:
            ramp = np.linspace(1, 0, min(self.fade, len(out)), dtype=np.float32)
            out[len(out) - len(ramp) :] *= ramp if self.mono else ramp[:, None]
        mixed = np.asarray(finite(out, "mix"))
        return mixed if self.rounds == 1 else np.concatenate([mixed] * self.rounds)

    def _add(self, out: Samples, sound: Samples, start: int) -> None:
        """A source into the mix: what stands before its start or after its end is cut, or goes
        round."""
        done = 0
        while done < len(sound) and self.samples:
            at = (start + done) % self.samples if self.round_trip else start + done
            size = min(len(sound) - done, self.samples - at)
            if at < 0:
                done -= at
            elif size <= 0:
                return
            else:
                out[at : at + size] += sound[done : done + size]
                done += size


def _sided(source: Source, sound: Samples, mono: bool) -> Samples:
    """A source's samples as they go into a mix."""
    if sound.ndim == 2 and source.fold:
        sound = (sound[:, 0] + sound[:, 1]) * np.float32(0.5)
    if mono:
        return sound
    sides = np.array(source.sides, np.float32)
    return sound * sides if sound.ndim == 2 else sound[:, None] * sides


def even_gain(loudness: float, wanted: float, most_db: float) -> float:
    """The factor that brings one loudness to another, within bounds and in whole steps; 1 where one
    is silence."""
    if not (isfinite(loudness) and isfinite(wanted)):
        return 1.0
    return amplitude(stepped(max(-most_db, min(most_db, wanted - loudness))))
