"""What is heard in the recordings of one take: harp, band, clicks and drone as sources of a mix.

Conventions: every source stands as in the whole performance, count-in first, less `offset` samples.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property, partial
from hashlib import sha256

import numpy as np

from reedwright.amp.rig import Rig
from reedwright.band.values import Part
from reedwright.performance.countin import click_track
from reedwright.performance.playing import Click, Played
from reedwright.sound import clicks, drone
from reedwright.sound.bandpart import BandPart, under, whole
from reedwright.sound.cache import Store, key_of
from reedwright.sound.loudness import block_energies, gated_lufs
from reedwright.sound.mixes import MIDDLE, Source, even_gain
from reedwright.sound.phrases import Phrase, hands_of, in_hands, key_of_all, phrases, through_amp
from reedwright.sound.signal import Samples
from reedwright.sound.take import Take

Ids = frozenset[str] | None
Sides = tuple[float, float]

MOST_EVEN_DB = 24.0
"""How far the amplified harp is moved to the loudness of the acoustic one."""

AMP_RECIPE = 2
"""Goes up when the amplified harp is balanced otherwise."""


class Sources:
    """The sources of one take, with the amplifier it is played through."""

    def __init__(self, take: Take, rig: Rig) -> None:
        self.take, self.rig = take, rig
        self._phrases: dict[Ids, tuple[Phrase, ...]] = {}
        self._bands: dict[Part | None, BandPart] = {}
        self._bars: dict[tuple[int, int], BandPart] = {}

    @cached_property
    def _hands(self) -> Samples:
        return hands_of(self.take.played)

    def phrases(self, ids: Ids) -> tuple[Phrase, ...]:
        """The phrases of some events."""
        if ids not in self._phrases:
            full = self.take.played
            chosen = Played(
                full.performance, full.seed, self.take.playings(ids), full.count_in, full.human
            )
            self._phrases[ids] = phrases(chosen, self._hands)
        return self._phrases[ids]

    def acoustic(self, ids: Ids = None, offset: int = 0, sides: Sides = MIDDLE) -> Source:
        """The harp in the player's hands."""
        found = self.phrases(ids)
        key = key_of("acoustic", key_of_all(found, 0))
        first = _first(found)
        return Source(key, lambda store: line(found, in_hands, store), first - offset, sides)

    def amplified(self, ids: Ids = None, offset: int = 0) -> Source:
        """The harp through the amplifier, as loud as the acoustic one."""
        found = self.phrases(ids)
        key = key_of("amplified", AMP_RECIPE, self.rig.key, key_of_all(found, 0))
        return Source(key, lambda store: self._evened(found, store), _first(found) - offset)

    def _evened(self, found: tuple[Phrase, ...], store: Store) -> Samples:
        def amped(phrase: Phrase, store: Store) -> Samples:
            return through_amp(phrase, self.rig, store)

        wanted, heard = (_loudness(found, made, store) for made in (in_hands, amped))
        gain = even_gain(heard, wanted, MOST_EVEN_DB)
        return line(found, amped, store) * np.float32(gain)

    def band(
        self, part: Part | None = None, sides: Sides = MIDDLE, *, fold: bool = False
    ) -> Source:
        """The whole band, or one part of it."""
        if part not in self._bands:
            self._bands[part] = whole(self.take, part)
        return _of_band(self._bands[part], 0, sides, fold)

    def band_under(self, first_bar: int, bars: int, start: int = 0) -> Source:
        """The band under some bars; `start`: where the count-in would stand."""
        place = first_bar, bars
        if place not in self._bars:
            self._bars[place] = under(self.take, first_bar, bars)
        return _of_band(self._bars[place], start, MIDDLE, False)

    def count_in(self, ids: Ids = None, first_bar: int = 0) -> Source:
        """The clicks before a bar."""
        return _of_clicks(self.take.count_in(ids, first_bar), self.take.bar_sample(0))

    def click_track(self) -> Source:
        """A click on every beat."""
        performance = self.take.performance
        return _of_clicks(click_track(performance), self.take.bar_sample(self.take.score.bars))

    def drone(self) -> Source:
        """The chord's root under the whole tune."""
        score = self.take.score
        places = [score.order.place_of(bar)[1] for bar in range(score.bars)]
        found = drone.stretches(score.tune, places, self.take.performance.seconds(1))
        harp = score.tune.harp
        hertz = tuple(drone.root_hz(one.root, harp) for one in found)
        key = key_of("drone", drone.RECIPE, found, hertz)
        start = self.take.bar_sample(0) - drone.EDGE
        return Source(
            key, lambda store: store.samples(key, lambda: drone.drone(found, harp)), start
        )


def _loudness(
    found: tuple[Phrase, ...], made: Callable[[Phrase, Store], Samples], store: Store
) -> float:
    """Of all phrases; each is measured by itself, so that an edit measures one."""
    energies = []
    for phrase in found:
        sound = made(phrase, store)
        key = key_of("energies", sha256(sound.tobytes()).hexdigest())
        energies.append(store.samples(key, partial(block_energies, sound)))
    return gated_lufs(np.concatenate([np.zeros(1), *energies]))


def line(
    found: tuple[Phrase, ...], made: Callable[[Phrase, Store], Samples], store: Store
) -> Samples:
    """Phrases one after the other, from the first sample of the first one."""
    first = _first(found)
    sounds = [(one.start - first, made(one, store)) for one in found]
    out = np.zeros(max((start + len(sound) for start, sound in sounds), default=0), np.float32)
    for start, sound in sounds:
        out[start : start + len(sound)] += sound
    return out


def _first(found: tuple[Phrase, ...]) -> int:
    return found[0].start if found else 0


def _of_band(part: BandPart, start: int, sides: Sides, fold: bool) -> Source:
    return Source(part.key, part.sound, start, sides, stereo=True, fold=fold)


def _of_clicks(found: tuple[Click, ...], samples: int) -> Source:
    key = key_of("clicks", clicks.RECIPE, found, samples)
    return Source(key, lambda _: clicks.click_line(found, samples))
