"""The band as a standard MIDI file.

Conventions: format 1, the time line of the tune's own MIDI file: it begins with the count-in,
silent, and swing is written out, without human timing. The first track holds tempo, meter, key and
markers; then drums (channel 10), bass, guitar and keys on channels 2 to 4, so that the harp's
channel 1 stays free. Ticks as in the tune's file; tempo is whole microseconds a quarter. The same
arrangement and tempo give the same bytes. Source: Standard MIDI Files 1.0, MIDI 1.0, GM 1.
"""

from __future__ import annotations

from reedwright.band.timing import BandClock
from reedwright.band.values import Arrangement, BandNote, Keys, Part
from reedwright.errors import Problem, SettingError
from reedwright.performance.midifile import (
    HEAD,
    OFF,
    ON,
    PERCUSSION,
    TEXT,
    Ticks,
    Timed,
    file_bytes,
    head,
)
from reedwright.performance.values import MarkerKind, Performance

CHANNELS = {Part.DRUMS: PERCUSSION, Part.BASS: 1, Part.GUITAR: 2, Part.KEYS: 3}
"""From 0; 9 is General MIDI's percussion."""

BASS, GUITAR = 33, 27  # General MIDI 34 electric bass (finger), 28 electric guitar (clean), from 0
PROGRAMS = {Keys.ORGAN: 16, Keys.PIANO: 0}  # 17 drawbar organ, 1 grand piano, counted from 0


def band_midi(arrangement: Arrangement, performance: Performance) -> bytes:
    """An arrangement at the tempo and swing of a performance of its score, as a MIDI file.

    Errors: SettingError when the two are of different tunes.
    """
    ours, theirs = arrangement.score, performance.score
    if (ours.bars, ours.tune.meter) != (theirs.bars, theirs.tune.meter):
        raise SettingError(
            Problem(
                found="an arrangement and a performance of different tunes",
                rule="The band plays with a performance of its own score",
                mend="arrange the score that is performed",
            )
        )
    ticks = Ticks(performance)
    last = arrangement.length_beats + performance.count_in_beats
    tracks = [_conductor(arrangement, performance, ticks)]
    clock = BandClock(performance)
    tracks += [_part(arrangement, part, ticks, clock) for part in Part]
    return file_bytes(tracks, ticks.at(max(last, performance.length_beats)))


def _conductor(arrangement: Arrangement, performance: Performance, ticks: Ticks) -> list[Timed]:
    from mido import MetaMessage

    messages = [*head(performance, f"{performance.score.tune.title}: band")]
    for mark in performance.markers:
        if mark.kind is MarkerKind.CHORUS:
            text = MetaMessage("marker", text=mark.text)
            messages.append((ticks.at(mark.onset_beats), TEXT, text))
    ending = next((bar for bar in arrangement.bars if bar.ending), None)
    if ending is not None:
        at = ticks.at(ending.start + performance.count_in_beats)
        messages.append((at, TEXT, MetaMessage("marker", text="Ending")))
    return messages


def _part(arrangement: Arrangement, part: Part, ticks: Ticks, clock: BandClock) -> list[Timed]:
    from mido import Message, MetaMessage

    channel = CHANNELS[part]
    messages: list[Timed] = [(0, HEAD, MetaMessage("track_name", name=part.value.capitalize()))]
    if part is not Part.DRUMS:
        program = {Part.BASS: BASS, Part.GUITAR: GUITAR}.get(part, PROGRAMS[arrangement.keys])
        messages.append((0, HEAD, Message("program_change", channel=channel, program=program)))
    for note in arrangement.notes[part]:
        key = {"channel": channel, "note": note.midi}
        on = Message("note_on", velocity=velocity_of(note), **key)
        messages.append((ticks.at(clock.onset_beats(note)), ON, on))
        off = Message("note_off", velocity=64, **key)
        messages.append((ticks.at(clock.end_beats(note)), OFF, off))
    return messages


def velocity_of(note: BandNote) -> int:
    """Velocity 1–127."""
    return max(1, round(127 * note.velocity))
