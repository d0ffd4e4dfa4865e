"""A MIDI file as a listener's program would take it, read by mido: keys with bends, in seconds.

It knows nothing of how our files are made: bend range from RPN 0, tempo from the file, MIDI tuning
f = 440 · 2^((n − 69)/12) (MIDI Tuning Standard).
"""

from dataclasses import dataclass, field
from io import BytesIO

import mido


@dataclass
class Heard:
    """A key from note-on to note-off; `bends` are (tick, semitones) while it is held."""

    start: int
    end: int
    channel: int
    key: int
    velocity: int
    bends: list[tuple[int, float]] = field(default_factory=list)

    @property
    def pitch(self) -> float:
        """MIDI number, fractional, at the onset."""
        return self.key + self.bends[0][1]

    @property
    def hertz(self) -> float:
        return float(440.0 * 2 ** ((self.pitch - 69) / 12))


@dataclass
class Channel:
    bend: int = 0
    bend_range: float = 2.0  # the MIDI default
    parameter: tuple[int, int] = (127, 127)
    program: int = 0
    held: dict[int, Heard] = field(default_factory=dict)

    @property
    def semitones(self) -> float:
        return self.bend / 8192 * self.bend_range


def open_midi(data: bytes) -> mido.MidiFile:
    return mido.MidiFile(file=BytesIO(data), charset="utf-8")


def timed(track: mido.MidiTrack) -> list[tuple[int, mido.Message]]:
    """Messages with their absolute ticks."""
    now, found = 0, []
    for message in track:
        now += message.time
        found.append((now, message))
    return found


def texts(track: mido.MidiTrack, kind: str) -> list[tuple[int, str]]:
    return [(tick, message.text) for tick, message in timed(track) if message.type == kind]


def heard(track: mido.MidiTrack) -> list[Heard]:
    """Every key in the order of its onset; fails on a key pressed twice or never let go."""
    channels = [Channel() for _ in range(16)]
    notes: list[Heard] = []
    for tick, message in timed(track):
        if message.is_meta:
            continue
        channel = channels[message.channel]
        if message.type == "note_on" and message.velocity:
            assert message.note not in channel.held
            note = Heard(tick, tick, message.channel, message.note, message.velocity)
            note.bends.append((tick, channel.semitones))
            channel.held[message.note] = note
            notes.append(note)
        elif message.type in ("note_on", "note_off"):
            channel.held.pop(message.note).end = tick
        else:
            _control(channel, message)
            if message.type == "pitchwheel":
                for note in channel.held.values():
                    note.bends.append((tick, channel.semitones))
    assert not any(channel.held for channel in channels)
    return notes


def _control(channel: Channel, message: mido.Message) -> None:
    if message.type == "pitchwheel":
        channel.bend = message.pitch
    elif message.type == "program_change":
        channel.program = message.program
    elif message.control == 101:
        channel.parameter = (message.value, channel.parameter[1])
    elif message.control == 100:
        channel.parameter = (channel.parameter[0], message.value)
    elif message.control == 6 and channel.parameter == (0, 0):
        channel.bend_range = message.value
    elif message.control == 38 and channel.parameter == (0, 0):
        channel.bend_range += message.value / 100


def controls(track: mido.MidiTrack, number: int) -> list[tuple[int, int]]:
    """(tick, value) of a controller."""
    return [
        (tick, message.value)
        for tick, message in timed(track)
        if message.type == "control_change" and message.control == number
    ]
