"""A few bars at once, to hear what was just written.

Conventions: float32 (samples, 2) at 48 kHz and at the loudness of a recording; bars of the whole
tune counted from 0. Only what sounds in these bars is made: the phrases of the harp that reach into
them (kept for the next time), and the notes of the band.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from reedwright.sound.bandpart import whole
from reedwright.sound.cache import Store, key_of
from reedwright.sound.level import levelled
from reedwright.sound.mixes import Mix, Source
from reedwright.sound.phrases import Phrase, in_hands, rig_tail, through_amp
from reedwright.sound.signal import RATE_HZ, Samples
from reedwright.sound.sources import Sources, line

FADE = RATE_HZ // 20
"""Samples: what sounds on after the last bar is faded in 50 ms."""


@dataclass(frozen=True, slots=True)
class Wish:
    """Which bars, and what of them. `amplified`: the harp through the amplifier; `click`: a click
    on every beat."""

    first_bar: int
    bars: int = 1
    band: bool = True
    amplified: bool = False
    harp: bool = True
    click: bool = False


def bars_sound(sources: Sources, wish: Wish, store: Store) -> Samples:
    """The harp in some bars, with the band under it. Errors: SoundError."""
    begin = sources.take.bar_sample(wish.first_bar)
    end = max(begin + 1, sources.take.bar_sample(wish.first_bar + wish.bars))
    heard = [_harp(sources, wish, begin, end)] if wish.harp else []
    if wish.band:
        stretch = whole(sources.take).stretch((begin, end))
        heard.append(Source("", lambda _: stretch, stereo=True))
    if wish.click:
        heard.append(replace(sources.click_track(), start=-begin))
    sound = Mix(end - begin, tuple(heard), fade=FADE).sound(store)
    both = sound if sound.ndim == 2 else np.repeat(sound[:, None], 2, axis=1)
    return levelled(both).samples


def _harp(sources: Sources, wish: Wish, begin: int, end: int) -> Source:
    """The phrases that reach into a span, what rings on after them included."""
    rig = sources.rig
    tail = rig_tail(rig)
    near = tuple(
        one
        for one in sources.phrases(None)
        if one.start < end and one.start + one.samples + tail > begin
    )

    def made(phrase: Phrase, store: Store) -> Samples:
        return through_amp(phrase, rig, store) if wish.amplified else in_hands(phrase, store)

    start = near[0].start if near else begin
    return Source(key_of(wish), lambda store: line(near, made, store), start - begin)
