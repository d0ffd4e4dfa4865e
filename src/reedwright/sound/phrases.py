"""The harp in phrases: runs of sound with silence around them, each made once and kept.

Conventions: a phrase is the segments of the voice between two silences of at least GAP samples;
`start` is its first sample in the whole performance. Voice, hands and amplifier forget within that
silence, so a phrase sounds the same wherever it stands, and an edit makes one phrase anew. What
rings on after it (the room, an echo) is part of its sound and may run into the next phrase.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial
from hashlib import sha256

import numpy as np

from reedwright.amp.chain import amplified
from reedwright.amp.rig import Rig
from reedwright.amp.space import space_response
from reedwright.performance.playing import Played
from reedwright.sound.cache import Store, key_of
from reedwright.sound.signal import RATE_HZ, Samples, finite, samples_at
from reedwright.voice.cup import acoustic, cup_line
from reedwright.voice.render import render
from reedwright.voice.segments import TAIL_S as VOICE_TAIL_S
from reedwright.voice.segments import segments
from reedwright.voice.stem import add
from reedwright.voice.values import Segment

RECIPE = 1
"""Goes up when phrases are cut or put together otherwise."""

GAP = 7_200
"""Samples, 0.15 s: longer than any stage before the room remembers (the amplifier's sag sinks by
half in 60 ms)."""

CUP_TAIL = 2_400
"""Samples the hands' resonance may ring on; it is over in 20 ms."""

SAG_TAIL = 4_800
ECHO_FLOOR = 1e-3
"""An echo is followed down to -60 dB."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """A run of segments. `cup`: how open the hands are at each of its samples; `key` says what its
    dry sound is made from, `cup_key` what the hands do."""

    start: int
    segments: tuple[Segment, ...]
    cup: Samples
    key: str
    cup_key: str

    @property
    def samples(self) -> int:
        return max(one.start_sample + one.samples for one in self.segments) - self.start


def phrases(played: Played, hands: Samples) -> tuple[Phrase, ...]:
    """The phrases of a performance, or of some of its playings, in the order of time.

    `hands`: how open they are at every sample of the whole performance (see `hands_of`).
    """
    groups: list[list[Segment]] = []
    end = -GAP
    for segment in segments(played):
        if not groups or segment.start_sample - end >= GAP:
            groups.append([])
        groups[-1].append(segment)
        end = max(end, segment.start_sample + segment.samples)
    return tuple(_phrase(tuple(group), hands) for group in groups)


def hands_of(played: Played) -> Samples:
    """How open the hands are, to the end of the last sound."""
    last = max((one.played_end_s for one in played.playings), default=0.0)
    return cup_line(played, samples_at(last + VOICE_TAIL_S) + 2)


def _phrase(group: tuple[Segment, ...], hands: Samples) -> Phrase:
    start = group[0].start_sample
    end = max(one.start_sample + one.samples for one in group)
    cup = np.ascontiguousarray(hands[start:end], np.float32)
    said = [(one.key, one.start_sample - start) for one in group]
    return Phrase(start, group, cup, key_of("dry", RECIPE, said), sha256(cup.tobytes()).hexdigest())


def dry(phrase: Phrase, store: Store) -> Samples:
    """The harp at the lips."""

    def make() -> Samples:
        line = np.zeros(phrase.samples, np.float32)
        for segment in phrase.segments:
            sound = store.samples(segment.key, partial(render, segment), hold=False)
            add(line, sound, segment.start_sample - phrase.start)
        return np.asarray(finite(line, "voice"))

    return store.samples(phrase.key, make)


def in_hands(phrase: Phrase, store: Store) -> Samples:
    """The harp as it is heard in a room without an amplifier."""
    key = key_of("hands", HANDS_RECIPE, phrase.key, phrase.cup_key, CUP_TAIL)

    def make() -> Samples:
        sound = acoustic(*_with_tail(phrase, store, CUP_TAIL))
        return np.asarray(finite(sound, "hands"))

    return store.samples(key, make)


HANDS_RECIPE = 1
"""Goes up when the cup room's hands give other samples."""


def through_amp(phrase: Phrase, rig: Rig, store: Store) -> Samples:
    """The harp through the amplifier."""
    tail = rig_tail(rig)
    key = key_of("amp", rig.key, phrase.key, phrase.cup_key, tail)

    def make() -> Samples:
        return np.asarray(finite(amplified(*_with_tail(phrase, store, tail), rig), "amplifier"))

    return store.samples(key, make)


def rig_tail(rig: Rig) -> int:
    """Samples a rig rings on after the harp."""
    tail = SAG_TAIL + len(space_response(rig.spring, rig.room))
    if rig.echo.share_percent:
        repeats, level = 1, rig.echo.share_percent / 100
        while level > ECHO_FLOOR and repeats < 100:
            level *= rig.echo.repeat_percent / 100
            repeats += 1
        tail += round(repeats * rig.echo.delay_ms * RATE_HZ / 1000)
    return tail


def _with_tail(phrase: Phrase, store: Store, tail: int) -> tuple[Samples, Samples]:
    """Sound and hands of a phrase, with silence behind it in which the hands stay."""
    sound = np.concatenate([dry(phrase, store), np.zeros(tail, np.float32)])
    return sound, np.concatenate([phrase.cup, np.full(tail, phrase.cup[-1], np.float32)])


def key_of_all(found: Iterable[Phrase], offset: int) -> str:
    """What a line of phrases is made from."""
    return key_of([(one.start + offset, one.key, one.cup_key) for one in found])
