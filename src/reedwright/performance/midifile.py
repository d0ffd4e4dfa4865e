"""A performance as the time line of a MIDI file, for whoever writes one: the harp's and the band's.

Conventions: format 1, the first track with tempo, meter, key and markers. Ticks run from the start
of the count-in, as all times do; swing is written out. Tempo is whole microseconds a quarter, off
by at most 5 millionths (1.5 ms in five minutes). Text is UTF-8. The same messages give the same
bytes. Source: Standard MIDI Files 1.0, MIDI 1.0.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from io import BytesIO
from typing import TYPE_CHECKING, Any

from reedwright.performance.values import Performance

if TYPE_CHECKING:
    import mido

TICKS_PER_QUARTER = 5040
"""Divisible by 1–10 and 12: a beat's parts are exact but for elevenths, at swing 1, 1.5, 2, 2.5, 3
and 3.5 to 1 down to sixteenths; anything else is off by half a tick at most, 0.1 ms at 60 bpm."""

PERCUSSION = 9
"""Channel 10, counted from 0 (General MIDI)."""

# What stands first at one tick: the head of a track, the end of a note, a control, a text, a start.
HEAD, OFF, TURN, TEXT, ON = range(5)
Timed = tuple[int, int, Any]  # tick, rank, mido message

_MAJOR = ("Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#")
_MINOR = ("Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#", "G#", "D#", "A#")


class Ticks:
    """Turns swung beats into the nearest ticks, halves up."""

    def __init__(self, performance: Performance) -> None:
        self.per_beat = int(TICKS_PER_QUARTER * performance.score.tune.meter.beat_quarters)

    def at(self, beats: Fraction | int) -> int:
        twice = 2 * beats.numerator * self.per_beat + beats.denominator
        return twice // (2 * beats.denominator)


def head(performance: Performance, name: str) -> Iterator[Timed]:
    """What the first track begins with: its name, rights, tempo, meter, key and the count-in."""
    from mido import MetaMessage

    tune = performance.score.tune
    meter = tune.meter
    quarter_us = round(60_000_000 / (performance.tempo_bpm * meter.beat_quarters))
    key = (_MINOR if tune.minor else _MAJOR)[tune.fifths + 7] + "m" * tune.minor
    messages = [MetaMessage("track_name", name=name)]
    messages += [MetaMessage("copyright", text=tune.rights)] if tune.rights else []
    messages += [
        MetaMessage("set_tempo", tempo=quarter_us),
        MetaMessage(
            "time_signature",
            numerator=meter.upper,
            denominator=meter.lower,
            clocks_per_click=int(24 * meter.beat_quarters),  # 24 MIDI clocks a quarter
        ),
        MetaMessage("key_signature", key=key),
        MetaMessage("marker", text="Count-in"),
    ]
    return ((0, HEAD, message) for message in messages)


def file_bytes(tracks: Iterable[list[Timed]], end: int) -> bytes:
    """Tracks that all end at one tick as the bytes of a file."""
    import mido

    file = mido.MidiFile(
        type=1,
        ticks_per_beat=TICKS_PER_QUARTER,
        charset="utf-8",
        tracks=[_track(messages, end) for messages in tracks],
    )
    target = BytesIO()
    file.save(file=target)
    return target.getvalue()


def _track(messages: list[Timed], end: int) -> mido.MidiTrack:
    """Messages in order, each with the ticks since the one before it."""
    import mido

    track = mido.MidiTrack()
    now = 0
    for tick, _, message in sorted(messages, key=lambda timed: timed[:2]):
        message.time = tick - now
        now = tick
        track.append(message)
    track.append(mido.MetaMessage("end_of_track", time=end - now))
    return track
