"""The mix of each kind of recording, and where its music lies in it.

Conventions: samples at 48 kHz. `shift` moves a moment of the whole performance into the recording;
`opening` is the sample at which the opening sound begins, None where none is heard.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil

from reedwright.band.values import Part
from reedwright.sound.bandpart import RING
from reedwright.sound.mixes import LEFT, RIGHT, Mix, Source
from reedwright.sound.recordings import Kind, Recording
from reedwright.sound.signal import RATE_HZ
from reedwright.sound.sources import Sources

AFTER = RATE_HZ // 4
"""Samples a lick by itself may ring on after its last bar."""

FADE = RATE_HZ // 10
BAND_FADE = RATE_HZ
"""Samples in which what still rings at the end is faded."""

LEAST_LOOP_S = 24.0
"""A loop goes round until it lasts so long: not every player can repeat a file."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A mix, and where the tune lies in it: `bar_one`: the sample at which its first bar begins."""

    mix: Mix
    shift: int
    bar_one: int
    opening: int | None = 0


def placed_mix(recording: Recording, sources: Sources) -> Placed:
    """What a recording is made of."""
    if recording.kind is Kind.LICK_LOOP:
        return _loop(recording, sources)
    bar_one = sources.take.bar_sample(0)
    shift = bar_one - sources.take.bar_sample(recording.first_bar)
    if recording.kind is Kind.LICK:
        samples = sources.take.bar_sample(recording.bars) + AFTER
        return Placed(Mix(samples, _lick(recording, sources, -shift), fade=AFTER), shift, bar_one)
    if recording.kind is Kind.LICK_BAND:
        band = sources.band_under(recording.first_bar, recording.bars)
        heard = (*_lick(recording, sources, -shift), band)
        samples = sources.take.bar_sample(recording.bars) + RING
        return Placed(Mix(samples, heard, fade=BAND_FADE), shift, bar_one)
    opening = 0 if recording.part in ("", "click") else None
    return Placed(_whole(recording, sources), shift, bar_one, opening)


def _lick(recording: Recording, sources: Sources, offset: int) -> tuple[Source, ...]:
    ids = recording.event_ids
    return sources.acoustic(ids, offset), sources.count_in(ids, recording.first_bar)


def _loop(recording: Recording, sources: Sources) -> Placed:
    """The lick and its bars of the band, then the same bars for the answer."""
    take, bars, first = sources.take, recording.bars, recording.first_bar
    begin = take.bar_sample(0)
    half, whole = take.bar_sample(bars) - begin, take.bar_sample(2 * bars) - begin
    offset = take.bar_sample(first)
    heard = (
        sources.acoustic(recording.event_ids, offset),
        sources.band_under(first, bars, -begin),
        sources.band_under(first, bars, half - begin),
    )
    rounds = max(1, ceil(LEAST_LOOP_S * RATE_HZ / max(1, whole)))
    return Placed(Mix(whole, heard, round_trip=True, rounds=rounds), -offset, 0, None)


def _whole(recording: Recording, sources: Sources) -> Mix:
    if recording.kind is Kind.CLICK:
        return Mix(sources.take.bar_sample(recording.bars), (sources.click_track(),))
    heard = (
        _stem(recording, sources) if recording.part else _WHOLE[recording.kind](recording, sources)
    )
    return Mix(sources.take.samples, heard, fade=FADE)


def _demonstration(_: Recording, sources: Sources) -> tuple[Source, ...]:
    return sources.acoustic(), sources.band(), sources.count_in()


def _amplified(_: Recording, sources: Sources) -> tuple[Source, ...]:
    return sources.amplified(), sources.band(), sources.count_in()


def _backing(_: Recording, sources: Sources) -> tuple[Source, ...]:
    return sources.band(), sources.count_in()


def _practice(_: Recording, sources: Sources) -> tuple[Source, ...]:
    band = sources.band(sides=RIGHT, fold=True)
    return sources.acoustic(sides=LEFT), band, sources.count_in()


def _trading(recording: Recording, sources: Sources) -> tuple[Source, ...]:
    return sources.acoustic(recording.event_ids), sources.band(), sources.count_in()


def _rhythm(recording: Recording, sources: Sources) -> tuple[Source, ...]:
    return sources.acoustic(recording.event_ids), sources.click_track()


def _drone(_: Recording, sources: Sources) -> tuple[Source, ...]:
    return sources.drone(), sources.count_in()


_WHOLE: dict[Kind, Callable[[Recording, Sources], tuple[Source, ...]]] = {
    Kind.DEMONSTRATION: _demonstration,
    Kind.AMPLIFIED: _amplified,
    Kind.BACKING: _backing,
    Kind.PRACTICE: _practice,
    Kind.TRADING: _trading,
    Kind.RHYTHM: _rhythm,
    Kind.DRONE: _drone,
}


def _stem(recording: Recording, sources: Sources) -> tuple[Source, ...]:
    if recording.part == "harp":
        return (sources.acoustic(),)
    if recording.part == "harp-amplified":
        return (sources.amplified(),)
    if recording.part == "click":
        return (sources.click_track(),)
    if recording.part == "band":
        return (sources.band(),)
    return (sources.band(Part(recording.part)),)
