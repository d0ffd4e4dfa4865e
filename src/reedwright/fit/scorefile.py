"""MusicXML, packed or plain, read: parts, chords, key, meter, tempo.

Conventions: `safexml` looks at the file first. Lengths are those in divisions, which are exact.
Grace and cue notes take no time and are left out, as are pitches without a step (drums). Tied notes
are one. A measure is as long as its longest voice. Source: the MusicXML 4.0 standard.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING, TypeAlias

from lxml import etree

from reedwright.errors import Problem
from reedwright.fit.lines import MAX_READ_NOTES, Line, RawNote, too_many
from reedwright.fit.melody import MelodyError
from reedwright.fit.music import Music
from reedwright.fit.safexml import safe_root, unpacked
from reedwright.fit.scorechords import chord_of
from reedwright.fit.tying import Tying
from reedwright.tune.chords import Chord

if TYPE_CHECKING:
    Element: TypeAlias = "etree._Element"

PACKED = b"PK\x03\x04"
_STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_TONIC_FIFTHS = {"major": 0, "ionian": 0, "minor": 3, "aeolian": 3, "dorian": 2, "phrygian": 4,
                 "lydian": -1, "mixolydian": 1, "locrian": 5}  # fmt: skip
_THIRD_MINOR = ("minor", "aeolian", "dorian", "phrygian", "locrian")
_MAX_MEASURES = 10_000


def score_music(data: bytes) -> Music:
    """All the music of a file. Errors: MelodyError."""
    root = safe_root(unpacked(data) if data.startswith(PACKED) else data)
    kind = etree.QName(root).localname
    if kind != "score-partwise":
        found = "MusicXML in measures of parts" if kind == "score-timewise" else f"<{kind[:40]}>"
        raise _error(
            f"{found} instead of a score in parts",
            "A score's outermost element is score-partwise",
            "export it as partwise MusicXML, which is usual",
        )
    names = {each.get("id", ""): _text(each, "part-name") for each in root.iter("score-part")}
    parts = [_Part(element) for element in root.iterchildren("part")]
    first = next((part for part in parts if part.count), None)
    if first is None:
        raise _error("no notes in this score", "A melody has at least one", "name another file")
    staves = [(part, notes) for part in parts for notes in part.staves()]
    lines = tuple(
        Line(number, names.get(part.element.get("id", ""), ""), tuple(notes))
        for number, (part, notes) in enumerate(staves, 1)
    )
    tempo = next((part.tempo_qpm for part in parts if part.tempo_qpm), None)
    chords = next((part.chords for part in parts if part.chords), [])
    unknown = any(part.unknown_chords for part in parts)
    return Music(
        lines=lines,
        title=_text(root, "work/work-title") or _text(root, "movement-title"),
        measures=tuple(first.measures),
        end=first.now,
        meters=tuple(first.meters),
        fifths=first.fifths,
        tonic=first.tonic,
        tempo_qpm=tempo,
        swing=next((part.swing for part in parts if part.swing), None),
        chords=tuple(sorted(chords, key=lambda each: each[0])),
        repeats=next(root.iter("repeat", "ending"), None) is not None,
        remarks=("Some chord symbols are of a kind that is not known.",) if unknown else (),
    )


@dataclass(slots=True)
class _Part:
    """One pass over a part; `now` runs in quarters."""

    element: Element
    measures: list[Fraction] = field(default_factory=list)
    meters: list[tuple[Fraction, int, int]] = field(default_factory=list)
    chords: list[tuple[Fraction, Chord | None]] = field(default_factory=list)
    tempo_qpm: Fraction | None = None
    swing: Fraction | None = None
    fifths: int | None = None
    tonic: tuple[int, bool] | None = None
    unknown_chords: bool = False
    now: Fraction = Fraction(0)
    _start: Fraction = Fraction(0)
    _divisions: Fraction = Fraction(1)
    _transposed: int = 0
    _tying: dict[str, Tying] = field(default_factory=dict)
    count: int = 0
    _furthest: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        for measure in self.element.iterchildren("measure"):
            self._measure(measure)

    def staves(self) -> list[list[RawNote]]:
        """The notes by staff, upper staff first."""
        return [self._tying[staff].notes() for staff in sorted(self._tying)] or [[]]

    def _measure(self, measure: Element) -> None:
        self._start = self._furthest = self.now
        self.measures.append(self.now)
        if len(self.measures) > _MAX_MEASURES:
            raise _error(f"over {_MAX_MEASURES:,} measures", "A melody has fewer", "cut the score")
        for element in measure.iterchildren(etree.Element):
            self._take(element)
        self.now = self._furthest

    def _take(self, element: Element) -> None:
        match element.tag:
            case "note":
                self._note(element)
            case "backup":
                self.now = max(self.now - self._length(element), self._start)
            case "forward":
                self._on(self._length(element))
            case "attributes":
                self._attributes(element)
            case "harmony":
                self._harmony(element)
            case "direction" | "sound":
                self._tempo(element)
            case _:
                pass

    def _on(self, length: Fraction) -> None:
        self.now += length
        self._furthest = max(self._furthest, self.now)

    def _length(self, element: Element) -> Fraction:
        return _number(_text(element, "duration"), 0) / self._divisions

    def _note(self, note: Element) -> None:
        if note.find("grace") is not None or note.find("cue") is not None:
            return
        length = self._length(note)
        together = note.find("chord") is not None
        start = self.now - length if together else self.now
        pitch = self._pitch(note)
        if pitch is not None and length > 0 and start >= 0:
            ties = {tie.get("type") for tie in note.iterchildren("tie")}
            tying = self._tying.setdefault(_text(note, "staff")[:3] or "1", Tying())
            tying.add(RawNote(start, start + length, pitch), "stop" in ties, "start" in ties)
            self.count += 1
            if tying.count > MAX_READ_NOTES:
                raise too_many(tying.count)
        if not together:
            self._on(length)

    def _pitch(self, note: Element) -> int | None:
        step = _STEPS.get(_text(note, "pitch/step"))
        if step is None:
            return None
        octave = _whole(_text(note, "pitch/octave"), 4)
        alter = round(_number(_text(note, "pitch/alter"), 0))
        pitch = 12 * (octave + 1) + step + alter + self._transposed
        return pitch if 0 <= pitch <= 127 else None

    def _attributes(self, element: Element) -> None:
        divisions = _number(_text(element, "divisions"), 0)
        self._divisions = divisions if divisions > 0 else self._divisions
        if (transpose := element.find("transpose")) is not None:
            chromatic = round(_number(_text(transpose, "chromatic"), 0))
            self._transposed = chromatic + 12 * _whole(_text(transpose, "octave-change"), 0)
        if (time := element.find("time")) is not None and time.find("beats") is not None:
            upper = sum(_whole(part, 0) for part in _text(time, "beats").split("+"))
            self.meters.append((self.now, upper, _whole(_text(time, "beat-type"), 0)))
        if (key := element.find("key")) is not None and self.fifths is None:
            self._key(_whole(_text(key, "fifths"), 0), _text(key, "mode").lower())

    def _key(self, fifths: int, mode: str) -> None:
        written = (7 * fifths + self._transposed) % 12
        self.fifths = ((written * 7 + 5) % 12) - 5
        if mode in _TONIC_FIFTHS:
            tonic = (7 * _TONIC_FIFTHS[mode] + written) % 12
            self.tonic = tonic, mode in _THIRD_MINOR

    def _harmony(self, element: Element) -> None:
        offset = _number(_text(element, "offset"), 0) / self._divisions
        known, chord = chord_of(element, self._transposed)
        if known:
            self.chords.append((max(self.now + offset, Fraction(0)), chord))
        else:
            self.unknown_chords = True

    def _tempo(self, element: Element) -> None:
        sounds = [element] if element.tag == "sound" else list(element.iterchildren("sound"))
        for sound in sounds:
            self.swing = self.swing or _swing(sound)
        if self.tempo_qpm is None:
            tempo = next((_number(sound.get("tempo", ""), 0) for sound in sounds), Fraction(0))
            self.tempo_qpm = tempo if tempo > 0 else _metronome(element)


def _swing(sound: Element) -> Fraction | None:
    """Two whole numbers, of eighths; sixteenths swing otherwise than a tune does."""
    first, second = (_whole(_text(sound, f"swing/{each}"), 0) for each in ("first", "second"))
    eighths = _text(sound, "swing/swing-type") in ("", "eighth")
    return Fraction(first, second) if eighths and first > 0 and second > 0 else None


_UNITS = {"half": Fraction(2), "quarter": Fraction(1), "eighth": Fraction(1, 2)}


def _metronome(element: Element) -> Fraction | None:
    mark = element.find("direction-type/metronome")
    if mark is None:
        return None
    unit = _UNITS.get(_text(mark, "beat-unit"), Fraction(0))
    dotted = Fraction(3, 2) if mark.find("beat-unit-dot") is not None else Fraction(1)
    tempo = _number(_text(mark, "per-minute"), 0) * unit * dotted
    return tempo if tempo > 0 else None


def _text(element: Element, path: str) -> str:
    return " ".join((element.findtext(path) or "").split())


def _whole(text: str, otherwise: int) -> int:
    return int(text) if re.fullmatch(r"[+-]?[0-9]{1,3}", text) else otherwise


def _number(text: str, otherwise: int) -> Fraction:
    found = re.fullmatch(r"[+-]?[0-9]{1,9}(\.[0-9]{1,9})?", text)
    return Fraction(text) if found else Fraction(otherwise)


def _error(found: str, rule: str, mend: str) -> MelodyError:
    return MelodyError(str(Problem(found, rule, mend)))
