"""One tune of ABC read: parts, chords, key, meter and tempo.

Conventions: each voice (`V:`) is a part. Grace notes, decorations and lyrics are left out; a chord
counts with its first note's length; accidentals hold to the bar line in all octaves (the standard's
default); bars are as written, repeats not played out. What is no music is passed over, as the
standard asks of a reader. One pass, linear in the text. Source: the ABC music standard 2.1.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction

from reedwright.fit.abckeys import (
    SIGNS,
    STEPS,
    Key,
    default_length,
    parse_key,
    parse_length,
    parse_meter,
    parse_tempo,
    times,
)
from reedwright.fit.lines import MAX_READ_NOTES, Line, RawNote, too_many
from reedwright.fit.music import Music
from reedwright.fit.scorechords import chord_named
from reedwright.fit.tying import Tying
from reedwright.tune.chords import Chord

_TOKEN = re.compile(
    r"""
    (?P<field>\[[A-Za-z]:[^\]\n]*\])
  | (?P<symbol>"[^"\n]*")
  | (?P<mark>![^!\n]{1,40}!|\+[A-Za-z]{2,20}\+|\{[^}\n]*\})
  | (?P<tuplet>\((?P<p>[2-9])(?::(?P<q>[0-9]?)(?::(?P<r>[0-9]?))?)?)
  | (?P<bar>(?:[:|]*\|[\]:|]*|\[\||::+)(?:\[?[0-9][0-9,\-]*)?|\[[0-9][0-9,\-]*)
  | (?P<broken><{1,3}|>{1,3})
  | (?P<rest>(?P<kind>[zxZX])(?P<restlength>[0-9]*/*[0-9]*))
  | (?P<note>(?P<accidental>\^\^|__|\^|_|=)?(?P<step>[A-Ga-g])(?P<octave>[,']*)
      (?P<length>[0-9]*/*[0-9]*)(?P<tie>\.?-)?)
  | (?P<open>\[)
  | (?P<close>\](?P<closelength>[0-9]*/*[0-9]*)(?P<closetie>-)?)
  | (?P<overlay>&)
    """,
    re.VERBOSE,
)
_HEADER = re.compile(r"([A-Za-z]):(.*)")
_IN_BODY = frozenset("IKLMmNPQRrsTUVWw")
"""Fields that may stand between lines of music, section 3; other letters there are notes."""

_NORMAL = {2: 3, 3: 2, 4: 3, 6: 2, 8: 3}
"""Notes of a tuplet in the time of so many, section 4.13; others go by the meter."""


def abc_music(text: str) -> Music:
    """One tune. Errors: MelodyError for too many notes."""
    return _Reader().read(text)


@dataclass(slots=True)
class _Voice:
    """Where a voice stands."""

    name: str
    number: int
    now: Fraction = Fraction(0)
    bar_start: Fraction = Fraction(0)
    tying: Tying = field(default_factory=Tying)
    accidentals: dict[str, int] = field(default_factory=dict)
    last: list[RawNote] = field(default_factory=list)  # what a broken rhythm would lengthen
    last_tied: bool = False
    stretch: Fraction = Fraction(1)  # of the next note, by a broken rhythm
    tuplet: list[int] = field(default_factory=list)  # time of, notes, notes left
    chord: list[tuple[int, Fraction, bool]] | None = None
    measures: list[Fraction] = field(default_factory=lambda: [Fraction(0)])
    pending_tie: set[int] = field(default_factory=set)


class _Reader:
    """One pass over a tune."""

    def __init__(self) -> None:
        self._meter: tuple[int, int] | None = (4, 4)
        self._length: Fraction | None = None
        self._key = Key()
        self._first_key: Key | None = None
        self._tempo: Fraction | None = None
        self._title = ""
        self._meters: list[tuple[Fraction, int, int]] = []
        self._chords: list[tuple[Fraction, Chord | None]] = []
        self._voices: dict[str, _Voice] = {}
        self._voice = self._voice_named("1")
        self._repeats = self._in_body = False
        self._notes = 0

    def read(self, text: str) -> Music:
        for raw in text.split("\n"):
            line = re.sub(r"(?<!\\)%.*", "", raw).rstrip()
            header = _HEADER.match(line)
            if header is not None and (not self._in_body or header[1] in _IN_BODY):
                self._field(header[1], header[2])
            elif self._in_body and line:
                self._music(line.removesuffix("\\"))
        for voice in self._voices.values():
            self._flush(voice)
        return self._made()

    def _made(self) -> Music:
        voices = [voice for voice in self._voices.values() if voice.tying.count]
        first = voices[0] if voices else self._voice
        key = self._first_key or self._key
        measures = [*first.measures]
        if len(measures) > 1 and measures[-1] >= first.now:
            measures.pop()
        return Music(
            lines=tuple(
                Line(number, voice.name, tuple(voice.tying.notes()))
                for number, voice in enumerate(self._voices.values(), 1)
            ),
            title=self._title,
            measures=tuple(measures),
            end=first.now,
            meters=tuple(self._meters),
            fifths=key.fifths,
            tonic=key.tonic,
            tempo_qpm=self._tempo,
            chords=tuple(self._chords),
            repeats=self._repeats,
        )

    def _voice_named(self, text: str) -> _Voice:
        words = text.split() or ["1"]
        named = re.search(r'(?:name|nm)\s*=\s*"?([^"]*)', text)
        if words[0] not in self._voices:
            title = named[1].strip() if named else (words[0] if not words[0].isdigit() else "")
            self._voices[words[0]] = _Voice(title[:60], len(self._voices) + 1)
        return self._voices[words[0]]

    def _field(self, letter: str, value: str) -> None:
        match letter:
            case "T":
                self._title = self._title or " ".join(value.split())
            case "M":
                self._meter = parse_meter(value)
                if self._meter is not None:
                    self._meters.append((self._voice.now, *self._meter))
            case "L":
                self._length = parse_length(value) or self._length
            case "Q":
                if self._tempo is None:
                    self._tempo = parse_tempo(value, self._unit)
            case "K":
                self._key = parse_key(value, self._key)
                self._first_key = self._first_key or self._key
                self._voice.accidentals.clear()
                self._in_body = True
            case "V":
                voices = self._voices
                if len(voices) == 1 and not self._voice.tying.count and "1" in voices:
                    voices.clear()  # the one that was there before any was named
                self._voice = self._voice_named(value)
            case _:
                pass

    @property
    def _unit(self) -> Fraction:
        return self._length or default_length(self._meter)

    def _music(self, line: str) -> None:
        for found in _TOKEN.finditer(line):
            self._token(found)

    def _token(self, found: re.Match[str]) -> None:
        voice = self._voice
        match found.lastgroup:
            case "note":
                self._note(voice, found)
            case "rest":
                self._rest(voice, found["kind"], found["restlength"])
            case "bar":
                self._bar_line(voice, found["bar"])
            case "broken":
                self._broken(voice, found["broken"])
            case "tuplet":
                self._tuplet(voice, found)
            case "close":
                self._close(voice, found["closelength"], bool(found["closetie"]))
            case _:
                self._rare(voice, found)

    def _rare(self, voice: _Voice, found: re.Match[str]) -> None:
        match found.lastgroup:
            case "open":
                voice.chord = []
            case "symbol":
                self._symbol(voice, found["symbol"][1:-1])
            case "field":
                self._field(found["field"][1], found["field"][3:-1])
            case "overlay":
                self._flush(voice)
                voice.now = voice.bar_start
            case _:  # decorations and grace notes
                pass

    def _symbol(self, voice: _Voice, text: str) -> None:
        chord = chord_named(text)
        if chord is not None:
            self._flush(voice)
            self._chords.append((voice.now, chord))

    def _note(self, voice: _Voice, found: re.Match[str]) -> None:
        pitch = self._pitch(voice, found)
        length = times(found["length"])
        if voice.chord is not None:
            voice.chord.append((pitch, length, bool(found["tie"])))
        else:
            self._sound(voice, [(pitch, bool(found["tie"]))], length)

    def _close(self, voice: _Voice, length: str, tied: bool) -> None:
        notes, voice.chord = voice.chord, None
        if notes:
            ends = [(pitch, tie or tied) for pitch, _, tie in notes]
            self._sound(voice, ends, notes[0][1] * times(length))

    def _sound(self, voice: _Voice, pitches: list[tuple[int, bool]], length: Fraction) -> None:
        lasts = length * self._unit * self._share(voice)
        self._flush(voice)
        lasts *= voice.stretch
        voice.stretch = Fraction(1)
        voice.last = [RawNote(voice.now, voice.now + lasts, pitch) for pitch, _ in pitches]
        ties = {pitch for pitch, tied in pitches if tied}
        voice.pending_tie, voice.last_tied = ties, bool(ties)
        voice.now += lasts
        self._notes += len(pitches)
        if self._notes > MAX_READ_NOTES:
            raise too_many(self._notes)

    def _flush(self, voice: _Voice) -> None:
        """Hand over the last note, whose length is settled now."""
        for note in voice.last:
            if note.end > note.start and 0 <= note.pitch <= 127:
                voice.tying.add(note, True, note.pitch in voice.pending_tie)
        voice.last = []

    def _share(self, voice: _Voice) -> Fraction:
        if not voice.tuplet:
            return Fraction(1)
        time, notes, left = voice.tuplet
        voice.tuplet = [time, notes, left - 1] if left > 1 else []
        return Fraction(time, notes)

    def _rest(self, voice: _Voice, kind: str, length: str) -> None:
        self._flush(voice)
        if kind in "ZX":
            upper, lower = self._meter or (4, 4)
            voice.now += Fraction(4 * upper, lower or 4) * min(times(length), Fraction(1000))
        else:
            share = self._share(voice)
            voice.now += times(length) * self._unit * share * voice.stretch
        voice.stretch = Fraction(1)

    def _broken(self, voice: _Voice, signs: str) -> None:
        small = Fraction(1, 2 ** len(signs))
        first, second = (2 - small, small) if signs[0] == ">" else (small, 2 - small)
        if voice.last:
            start = voice.last[0].start
            end = start + (voice.last[0].end - start) * first
            voice.last = [RawNote(start, end, note.pitch) for note in voice.last]
            voice.now = end
            voice.stretch = second

    def _tuplet(self, voice: _Voice, found: re.Match[str]) -> None:
        count = int(found["p"])
        compound = (
            self._meter is not None and self._meter[0] in (3, 6, 9, 12) and (self._meter[1] == 8)
        )
        time = int(found["q"] or 0) or _NORMAL.get(count) or (3 if compound else 2)
        voice.tuplet = [time, count, int(found["r"] or 0) or count]

    def _bar_line(self, voice: _Voice, text: str) -> None:
        self._flush(voice)
        voice.accidentals.clear()
        voice.tuplet = []
        self._repeats = self._repeats or ":" in text or text[-1].isdigit()
        if voice.now > voice.bar_start:
            voice.bar_start = voice.now
            voice.measures.append(voice.now)

    def _pitch(self, voice: _Voice, found: re.Match[str]) -> int:
        letter = found["step"]
        step = letter.upper()
        octave = 4 + letter.islower() + found["octave"].count("'") - found["octave"].count(",")
        if found["accidental"]:
            voice.accidentals[step] = SIGNS[found["accidental"]]
        alter = voice.accidentals.get(step)
        if alter is None:
            alter = dict(self._key.alter).get(step, 0)
        return 12 * (octave + 1) + STEPS[step] + alter + self._key.moved
