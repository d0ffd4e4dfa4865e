"""A performance as a standard MIDI file.

Conventions: see `performance.midifile`. The first track's markers are choruses, licks and the
count-in; the second track is the harp, General MIDI program 23 (22 on the wire), with one lyric
event a note: its tab token. Swing is written out. The file begins with the count-in, as all times
do, silent unless clicks are asked for (third track, percussion channel). Text is UTF-8. Tempo is
whole microseconds a quarter, which is off by at most 5 millionths (1.5 ms in five minutes).
The same score and tempo give the same bytes. Source: Standard MIDI Files 1.0, MIDI 1.0, GM 1.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from reedwright.performance.midifile import (
    HEAD,
    OFF,
    ON,
    PERCUSSION,
    TEXT,
    TURN,
    Timed,
    file_bytes,
    head,
)
from reedwright.performance.perform import perform
from reedwright.performance.values import Performance
from reedwright.sheet.midi_notes import (
    AT_REST,
    BEND_RANGE,
    Control,
    NoteWriter,
    Turn,
)
from reedwright.tune.place import Score
from reedwright.tune.tokens import format_sound
from reedwright.tune.values import Sound

if TYPE_CHECKING:
    import mido

HARMONICA = 22  # General MIDI program 23, counted from 0
HIGH_CLICK, LOW_CLICK = 76, 77  # General MIDI high and low wood block
CLICK_VELOCITY = 100  # from memory
CLICK_BEATS = Fraction(1, 8)  # a wood block rings by itself; from memory


def midi_bytes(score: Score, tempo_bpm: Fraction | None = None, *, clicks: bool = False) -> bytes:
    """A tune as the bytes of a MIDI file, at its full tempo when none is given.

    `clicks` adds the count-in. Errors: SettingError for a tempo nobody can count, HarpError for
    a note the harp does not have.
    """
    tempo = score.tune.full_tempo_bpm if tempo_bpm is None else tempo_bpm
    return performance_bytes(perform(score, tempo), clicks=clicks)


def performance_bytes(performance: Performance, *, clicks: bool = False) -> bytes:
    """A performance as the bytes of a MIDI file."""
    writer = NoteWriter(performance)
    tracks = [_conductor(performance, writer), _harp(performance, writer)]
    if clicks:
        tracks.append(_clicks(performance, writer))
    return file_bytes(tracks, writer.tick(performance.length_beats))


def _conductor(performance: Performance, writer: NoteWriter) -> list[Timed]:
    from mido import MetaMessage

    marks = (
        (writer.tick(mark.onset_beats), TEXT, MetaMessage("marker", text=mark.text))
        for mark in performance.markers
    )
    return [*head(performance, performance.score.tune.title), *marks]


def _harp(performance: Performance, writer: NoteWriter) -> list[Timed]:
    from mido import Message, MetaMessage

    tune = performance.score.tune
    messages: list[Timed] = []
    channels: set[int] = {0}
    for timed in performance.events:
        token = format_sound(_bare(timed.event.sound), tune.signed)
        tick = writer.tick(timed.onset_beats)
        messages.append((tick, TEXT, MetaMessage("lyrics", text=token)))
        messages += [(turn.tick, TURN, _turned(turn)) for turn in writer.turns(timed)]
        for press in writer.presses(timed):
            channels.add(press.channel)
            place = {"channel": press.channel, "note": press.key}
            on = Message("note_on", velocity=press.velocity, **place)
            messages.append((press.start, ON, on))
            messages.append((press.end, OFF, Message("note_off", velocity=64, **place)))
    name = MetaMessage("track_name", name=f"Harmonica in {tune.harp.name}")
    set_up = [message for channel in sorted(channels) for message in _set_up(channel)]
    return [(0, HEAD, message) for message in (name, *set_up)] + messages


def _set_up(channel: int) -> Iterator[mido.Message]:
    """Program, bend range (RPN 0, then closed by the null RPN) and controls at rest."""
    from mido import Message

    yield Message("program_change", channel=channel, program=HARMONICA)
    for control, value in ((101, 0), (100, 0), (6, BEND_RANGE), (38, 0), (101, 127), (100, 127)):
        yield Message("control_change", channel=channel, control=control, value=value)
    for control in Control:
        yield _turned(Turn(0, channel, control, AT_REST[control]))


def _turned(turn: Turn) -> mido.Message:
    from mido import Message

    if turn.control is Control.BEND:
        return Message("pitchwheel", channel=turn.channel, pitch=turn.value)
    return Message(
        "control_change", channel=turn.channel, control=turn.control.value, value=turn.value
    )


def _clicks(performance: Performance, writer: NoteWriter) -> list[Timed]:
    """One click a counted beat, the first of each bar the higher."""
    from mido import Message, MetaMessage

    messages: list[Timed] = [(0, OFF, MetaMessage("track_name", name="Count-in"))]
    for beat in range(performance.count_in_beats):
        key = LOW_CLICK if beat % performance.score.tune.meter.beats else HIGH_CLICK
        for rank, kind, beats in ((ON, "note_on", beat), (OFF, "note_off", beat + CLICK_BEATS)):
            message = Message(kind, channel=PERCUSSION, note=key, velocity=CLICK_VELOCITY)
            messages.append((writer.tick(beats), rank, message))
    return messages


def _bare(sound: Sound) -> Sound:
    """The tab alone: no marks, no rate of a shake."""
    return replace(sound, marks=(), shake_rate=Fraction(0))
