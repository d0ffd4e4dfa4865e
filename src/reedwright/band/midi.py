"""The band as a standard MIDI file.

Conventions: format 1, the time line of the tune's own MIDI file: it begins with the count-in,
silent, and swing is written out, without human timing. The first track holds tempo, meter, key and
markers; then drums (channel 10), bass, guitar and keys on channels 2 to 4, so that the harp's
channel 1 stays free. Ticks as in the tune's file; tempo is whole microseconds a quarter. The same
arrangement and tempo give the same bytes. Source: Standard MIDI Files 1.0, MIDI 1.0, GM 1.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from io import BytesIO
from typing import TYPE_CHECKING, Any

from reedwright.band.timing import BandClock
from reedwright.band.values import Arrangement, BandNote, Keys, Part
from reedwright.errors import Problem, SettingError
from reedwright.performance.values import MarkerKind, Performance
from reedwright.tune.tune import Tune

if TYPE_CHECKING:
    import mido

TICKS_PER_QUARTER = 5040
"""Divisible by 1–10 and 12, and at swing 1, 1.5, 2, 2.5, 3 and 3.5 to 1 exact down to sixteenths;
anything else is off by half a tick at most, 0.1 ms at 60 bpm."""

CHANNELS = {Part.DRUMS: 9, Part.BASS: 1, Part.GUITAR: 2, Part.KEYS: 3}
"""From 0; 9 is General MIDI's percussion."""

BASS, GUITAR = 33, 27  # General MIDI 34 electric bass (finger), 28 electric guitar (clean), from 0
PROGRAMS = {Keys.ORGAN: 16, Keys.PIANO: 0}  # 17 drawbar organ, 1 grand piano, counted from 0
_MAJOR = ("Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#")
_MINOR = ("Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#", "G#", "D#", "A#")

# What stands first at one tick: the head of a track, the end of a note, a text, its start.
_HEAD, _OFF, _TEXT, _ON = range(4)
_Timed = tuple[int, int, Any]  # tick, rank, mido message


def band_midi(arrangement: Arrangement, performance: Performance) -> bytes:
    """An arrangement at the tempo and swing of a performance of its score, as a MIDI file.

    Errors: SettingError when the two are of different tunes.
    """
    import mido

    ours, theirs = arrangement.score, performance.score
    if (ours.bars, ours.tune.meter) != (theirs.bars, theirs.tune.meter):
        raise SettingError(
            Problem(
                found="an arrangement and a performance of different tunes",
                rule="The band plays with a performance of its own score",
                mend="arrange the score that is performed",
            )
        )
    ticks = _Ticks(performance)
    last = arrangement.length_beats + performance.count_in_beats
    end = ticks.at(max(last, performance.length_beats))
    tracks = [_conductor(arrangement, performance, ticks)]
    tracks += [_part(arrangement, part, ticks) for part in Part]
    file = mido.MidiFile(
        type=1,
        ticks_per_beat=TICKS_PER_QUARTER,
        charset="utf-8",
        tracks=[_track(messages, end) for messages in tracks],
    )
    target = BytesIO()
    file.save(file=target)
    return target.getvalue()


class _Ticks:
    """Turns swung beats into the nearest ticks, halves up."""

    def __init__(self, performance: Performance) -> None:
        self.clock = BandClock(performance)
        self.per_beat = int(TICKS_PER_QUARTER * performance.score.tune.meter.beat_quarters)

    def at(self, beats: Fraction | int) -> int:
        twice = 2 * beats.numerator * self.per_beat + beats.denominator
        return twice // (2 * beats.denominator)


def _track(messages: list[_Timed], end: int) -> mido.MidiTrack:
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


def _conductor(arrangement: Arrangement, performance: Performance, ticks: _Ticks) -> list[_Timed]:
    from mido import MetaMessage

    tune = performance.score.tune
    messages: list[_Timed] = [(0, _HEAD, message) for message in _head(performance, tune)]
    for mark in performance.markers:
        if mark.kind is MarkerKind.CHORUS:
            text = MetaMessage("marker", text=mark.text)
            messages.append((ticks.at(mark.onset_beats), _TEXT, text))
    ending = next((bar for bar in arrangement.bars if bar.ending), None)
    if ending is not None:
        at = ticks.at(ending.start + performance.count_in_beats)
        messages.append((at, _TEXT, MetaMessage("marker", text="Ending")))
    return messages


def _head(performance: Performance, tune: Tune) -> Iterator[mido.MetaMessage]:
    from mido import MetaMessage

    meter = tune.meter
    yield MetaMessage("track_name", name=f"{tune.title}: band")
    if tune.rights:
        yield MetaMessage("copyright", text=tune.rights)
    quarter_us = round(60_000_000 / (performance.tempo_bpm * meter.beat_quarters))
    yield MetaMessage("set_tempo", tempo=quarter_us)
    yield MetaMessage(
        "time_signature",
        numerator=meter.upper,
        denominator=meter.lower,
        clocks_per_click=int(24 * meter.beat_quarters),  # 24 MIDI clocks a quarter
    )
    key = (_MINOR if tune.minor else _MAJOR)[tune.fifths + 7] + "m" * tune.minor
    yield MetaMessage("key_signature", key=key)
    yield MetaMessage("marker", text="Count-in")


def _part(arrangement: Arrangement, part: Part, ticks: _Ticks) -> list[_Timed]:
    from mido import Message, MetaMessage

    channel = CHANNELS[part]
    messages: list[_Timed] = [(0, _HEAD, MetaMessage("track_name", name=part.value.capitalize()))]
    if part is not Part.DRUMS:
        program = {Part.BASS: BASS, Part.GUITAR: GUITAR}.get(part, PROGRAMS[arrangement.keys])
        messages.append((0, _HEAD, Message("program_change", channel=channel, program=program)))
    for note in arrangement.notes[part]:
        key = {"channel": channel, "note": note.midi}
        on = Message("note_on", velocity=velocity_of(note), **key)
        messages.append((ticks.at(ticks.clock.onset_beats(note)), _ON, on))
        off = Message("note_off", velocity=64, **key)
        messages.append((ticks.at(ticks.clock.end_beats(note)), _OFF, off))
    return messages


def velocity_of(note: BandNote) -> int:
    """Velocity 1–127."""
    return max(1, round(127 * note.velocity))
