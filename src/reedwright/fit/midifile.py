"""Standard MIDI files read: parts by track and channel, meter, key, tempo, chords as text if any.

Conventions: moments in quarter notes from the beginning of the file. A part is a track's channel;
channel 10 is drums (General MIDI). A note that never ends, ends with its track; a key struck again
ends its note. Pitch bend counts (`wheel`). Where the tempo changes, the one in force for most notes
holds; a tempo of 0 is passed over. A file timed in frames has no beats: it is read as 120 a
minute, and that is said. Source: Standard MIDI Files 1.0; mido reads the bytes.
"""

from __future__ import annotations

import io
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

import mido

from reedwright.errors import HarpError, Problem, one_line
from reedwright.fit.lines import Line, RawNote, too_many
from reedwright.fit.melody import MelodyError
from reedwright.fit.scorechords import chord_named
from reedwright.fit.wheel import Wheel
from reedwright.harp.pitch import pitch_class
from reedwright.tune.chords import Chord

MAX_MIDI_BYTES = 1_000_000
"""350,000 messages, of which mido makes 150 MB; songs have 10 to 200 kB (from memory)."""

_DRUMS = 9  # channel 10, counted from 0
_FRAME_TEMPO_QPM = 120
_MICROSECONDS = 60_000_000
_KINDS_OF_TEXT = ("text", "marker", "lyrics", "cue_marker")
_MAX_PART = 200_000


@dataclass(frozen=True, slots=True)
class MidiMusic:
    """A MIDI file: `meters` are (moment, upper, lower), `chords` (moment, chord)."""

    lines: tuple[Line, ...]
    title: str = ""
    meter: tuple[int, int] = (4, 4)
    key: tuple[int, bool] | None = None
    tempo_qpm: Fraction = Fraction(120)
    chords: tuple[tuple[Fraction, Chord | None], ...] = ()
    remarks: tuple[str, ...] = ()


def midi_music(data: bytes) -> MidiMusic:
    """All the music of a file. Errors: MelodyError."""
    if len(data) > MAX_MIDI_BYTES:
        raise _error(
            f"{len(data):,} bytes of MIDI", f"At most {MAX_MIDI_BYTES:,} are read", "cut the file"
        )
    song = _song(data)
    return _Reader(song).made()


def _song(data: bytes) -> Any:  # noqa: ANN401 -- mido has no types
    try:
        song = mido.MidiFile(file=io.BytesIO(data), clip=True)
    except EOFError:
        raise _error("a MIDI file that ends too early", "Every track is whole", _MEND) from None
    except Exception as error:  # noqa: BLE001 -- mido raises what its many small readers raise
        said = one_line(str(error) or type(error).__name__)[:100]
        raise _error(f"a broken MIDI file ({said})", "It begins with MThd", _MEND) from None
    if song.ticks_per_beat == 0:
        raise _error("a MIDI file with no ticks in a beat", "There is at least one", _MEND)
    if song.type == 2:
        raise _error("a MIDI file of independent patterns (type 2)", "Type 0 or 1", _MEND)
    return song


@dataclass(slots=True)
class _Found:
    """What one pass over the tracks gathers; ticks."""

    notes: dict[tuple[int, int], list[tuple[int, int, int]]] = field(
        default_factory=lambda: defaultdict(list)
    )
    names: dict[int, str] = field(default_factory=dict)
    tempos: list[tuple[int, int]] = field(default_factory=list)
    meters: list[tuple[int, int, int]] = field(default_factory=list)
    keys: list[tuple[int, str]] = field(default_factory=list)
    texts: list[tuple[int, str]] = field(default_factory=list)


class _Reader:
    """A song taken apart."""

    def __init__(self, song: Any) -> None:  # noqa: ANN401 -- mido has no types
        self._remarks: list[str] = []
        self._wheels: defaultdict[tuple[int, int], Wheel] = defaultdict(Wheel)
        self._per_quarter = self._ticks(song.ticks_per_beat)
        self._found = _Found()
        for number, track in enumerate(song.tracks):
            self._track(number, track)

    def _ticks(self, division: int) -> Fraction:
        """Ticks in a quarter; of frames (SMPTE) by a tempo assumed."""
        if division > 0:
            return Fraction(division)
        frames, parts = 256 - (division >> 8 & 0xFF), division & 0xFF
        self._remarks.append(
            f"The file is timed in frames, not beats; {_FRAME_TEMPO_QPM} a minute are assumed."
        )
        return Fraction(max(frames * parts, 1) * 60, _FRAME_TEMPO_QPM)

    def _track(self, number: int, track: Any) -> None:  # noqa: ANN401 -- mido has no types
        now = 0
        sounding: dict[tuple[int, int], int] = {}  # channel and pitch: when it began
        for message in track:
            now += message.time
            kind = message.type
            if kind in ("note_on", "note_off"):
                key = message.channel, message.note
                begun = sounding.pop(key, None)
                if begun is not None:
                    self._note(number, message.channel, begun, now, message.note)
                if kind == "note_on" and message.velocity > 0:
                    sounding[key] = now
            elif kind == "pitchwheel":
                self._wheels[number, message.channel].turn(now, message.pitch)
            elif kind == "control_change":
                self._wheels[number, message.channel].control(message.control, message.value)
            elif message.is_meta:
                self._meta(number, kind, message, now)
        for (channel, pitch), begun in sounding.items():
            self._note(number, channel, begun, max(now, begun + 1), pitch)

    def _note(self, track: int, channel: int, start: int, end: int, pitch: int) -> None:
        pitch += self._wheels[track, channel].bend(start, end)
        if end > start and 0 <= pitch <= 127:
            notes = self._found.notes[track, channel]
            notes.append((start, end, pitch))
            if len(notes) > _MAX_PART:
                raise too_many(len(notes))

    def _meta(self, track: int, kind: str, message: Any, now: int) -> None:  # noqa: ANN401
        found = self._found
        if kind == "track_name":
            found.names.setdefault(track, " ".join(message.name.split())[:80])
        elif kind == "set_tempo":
            found.tempos.append((now, message.tempo))
        elif kind == "time_signature":
            found.meters.append((now, message.numerator, message.denominator))
        elif kind == "key_signature":
            found.keys.append((now, message.key))
        elif kind in _KINDS_OF_TEXT:
            found.texts.append((now, message.text))

    def made(self) -> MidiMusic:
        found = self._found
        lines = tuple(
            self._line(number, track, channel)
            for number, (track, channel) in enumerate(sorted(found.notes), 1)
        )
        meters = sorted(found.meters)
        if len({meter[1:] for meter in meters}) > 1:
            self._remarks.append("The meter changes; bars are counted in the first one throughout.")
        return MidiMusic(
            lines=lines,
            title=found.names.get(0, ""),
            meter=meters[0][1:] if meters else (4, 4),
            key=self._key(),
            tempo_qpm=self._tempo(),
            chords=self._chords(),
            remarks=tuple(self._remarks),
        )

    def _line(self, number: int, track: int, channel: int) -> Line:
        rows = sorted(self._found.notes[track, channel])
        notes = tuple(RawNote(self._at(a), self._at(b), pitch) for a, b, pitch in rows)
        return Line(number, self._found.names.get(track, ""), notes, channel == _DRUMS)

    def _at(self, tick: int) -> Fraction:
        return Fraction(tick) / self._per_quarter

    def _tempo(self) -> Fraction:
        """The tempo under most of the notes."""
        known = sorted((now, tempo) for now, tempo in self._found.tempos if tempo > 0)
        if len(known) < len(self._found.tempos):
            self._remarks.append("A tempo of 0 stands in the file and was passed over.")
        if not known:
            return Fraction(_FRAME_TEMPO_QPM)
        starts = sorted(row[0] for rows in self._found.notes.values() for row in rows)
        under: Counter[int] = Counter()
        at, tempo = 0, known[0][1]
        for start in starts:
            while at < len(known) and known[at][0] <= start:
                tempo = known[at][1]
                at += 1
            under[tempo] += 1
        if len(under) > 1:
            self._remarks.append("The tempo changes; the one under most of the notes was taken.")
        most = under.most_common(1)[0][0] if under else tempo
        return Fraction(_MICROSECONDS, most)

    def _key(self) -> tuple[int, bool] | None:
        """None for C major too: programs write that where nobody said anything."""
        for _, name in sorted(self._found.keys):
            minor = name.endswith("m")
            try:
                tonic = pitch_class(name.removesuffix("m"))
            except HarpError:
                continue
            return None if (tonic, minor) == (0, False) else (tonic, minor)
        return None

    def _chords(self) -> tuple[tuple[Fraction, Chord | None], ...]:
        """Text events that are chords, if nearly all texts are."""
        texts = [(now, text.strip()) for now, text in sorted(self._found.texts) if text.strip()]
        chords = [(now, chord) for now, text in texts if (chord := chord_named(text)) is not None]
        if len(chords) < 2 or len(chords) * 10 < len(texts) * 9:
            return ()
        return tuple((self._at(now), chord) for now, chord in chords)


_MEND = "save it anew from the program it came from"


def _error(found: str, rule: str, mend: str) -> MelodyError:
    return MelodyError(str(Problem(found, rule, mend)))
