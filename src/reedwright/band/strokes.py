"""From the notes of a part to strokes: which sound, when, how loud, and when it is cut.

Conventions: seconds from the first sample of the count-in. Lengths come from the exact times, so
only the onset has human timing. A bass has one string at a
time and a guitar one chord: what still sounds ends when the next begins. A key of the keyboard ends
where it is struck again. The hat's strokes silence one another; all other drums ring out. A chord
of the guitar is strummed, low to high on the beat and high to low off it (common practice). Two
strokes of the same kind that follow each other in a bar are never the same variant.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from math import inf
from typing import Any

from reedwright.band.instruments.drums import pieces
from reedwright.band.instruments.note import DRUMS
from reedwright.band.instruments.organ import angle_of, organ_kind
from reedwright.band.instruments.seeds import pick
from reedwright.band.instruments.values import (
    RINGS_OUT,
    NoteKey,
    layer_of,
    loudness,
    seconds_for,
    table,
)
from reedwright.band.timing import TimedNote, timed_notes
from reedwright.band.values import Arrangement, Keys, Part
from reedwright.errors import Problem, SettingError
from reedwright.performance.values import Performance

VARIANTS = {Part.DRUMS: 3, Part.BASS: 2, Part.GUITAR: 2, Part.KEYS: 2}
"""How many strokes of a kind differ before one comes again."""

ORGAN_LAYER = 0
"""An organ's tone does not depend on how hard a key is struck."""

STRUM_S = 0.005
"""From string to string of a strummed chord (from memory: a quick stroke)."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A sound of an instrument, when it begins, how hard it is struck and when it is let go."""

    key: NoteKey
    played_s: float
    velocity: float
    length_s: float = RINGS_OUT
    level_db: float = 0.0

    @property
    def gain(self) -> float:
        """Of its note in the mix."""
        return float(loudness(self.velocity) * 10 ** (self.level_db / 20))

    @property
    def midi_velocity(self) -> int:
        return max(1, round(127 * self.velocity))


def instrument_of(arrangement: Arrangement, part: Part) -> str:
    """What a part is played on."""
    if part is Part.BASS:
        basses: dict[str, str] = table()["players"]["bass"]
        return basses.get(arrangement.style, basses["usual"])
    if part is Part.KEYS:
        return "organ" if arrangement.keys is Keys.ORGAN else "piano"
    return {Part.DRUMS: DRUMS, Part.GUITAR: "guitar"}[part]


def strokes(
    arrangement: Arrangement, performance: Performance, part: Part, *, human: float = 1.0
) -> Iterator[Stroke]:
    """All strokes of a part in order. Errors: SettingError for a drum that is not in the kit."""
    notes = list(timed_notes(arrangement, performance, part, human=human))
    instrument = instrument_of(arrangement, part)
    if part is Part.DRUMS:
        _check_kit(notes)
    stops, level_db = _stops(notes, part), balance_db(arrangement.style, part)
    seen: dict[tuple[int, int, int], int] = defaultdict(int)
    for timed, late_s in zip(notes, _strums(notes, part), strict=True):
        note = timed.note
        length_s = min(timed.end_s, stops.after(timed)) - timed.onset_s
        place = (note.chorus, note.bar, note.midi)
        stroke = f"{arrangement.seed}|{note.chorus}.{note.bar}|{part.value}|{note.midi}|stroke"
        variant = (pick(stroke, VARIANTS[part]) + seen[place]) % VARIANTS[part]
        seen[place] += 1
        if instrument == "organ":
            variant = angle_of(timed.onset_s, organ_kind(instrument))
        layer = ORGAN_LAYER if instrument == "organ" else layer_of(note.velocity)
        if part is Part.DRUMS:
            length_s = _drum_length_s(timed, stops)
        seconds = 0 if length_s == RINGS_OUT else seconds_for(length_s)
        key = NoteKey(instrument, note.midi, layer, variant, seconds)
        yield Stroke(key, timed.played_s + late_s, note.velocity, length_s, level_db)


def balance_db(style: str, part: Part) -> float:
    """By how much a part is louder in a style."""
    return float(table()["balance"].get(style, {}).get(part.value, 0.0))


def _check_kit(notes: list[TimedNote]) -> None:
    missing = sorted({timed.note.midi for timed in notes} - pieces().keys())
    if missing:
        keys = ", ".join(map(str, missing))
        raise SettingError(
            Problem(
                found=f"percussion key {keys} in the band's drums",
                rule=f"The kit answers to General MIDI keys {min(pieces())} to {max(pieces())}",
                mend="choose keys in that range in the band's rules",
            )
        )


def _drum_length_s(timed: TimedNote, stops: _Stops) -> float:
    """Drums ring out; a hat is cut by the next stroke of the hat."""
    length_s = stops.after(timed) - timed.onset_s
    piece = pieces()[timed.note.midi]
    return length_s if piece.choke and length_s < piece.ring_s else RINGS_OUT


class _Stops:
    """When a sound is cut by the next of its group: the group's onsets, in order."""

    def __init__(self, groups: dict[Any, list[float]], part: Part) -> None:
        self._groups, self._part = groups, part

    def after(self, timed: TimedNote) -> float:
        onsets = self._groups.get(_group(timed, self._part), [])
        place = bisect_right(onsets, timed.onset_s)
        return onsets[place] if place < len(onsets) else inf


def _stops(notes: list[TimedNote], part: Part) -> _Stops:
    groups: dict[Any, list[float]] = defaultdict(list)
    for timed in notes:
        groups[_group(timed, part)].append(timed.onset_s)
    return _Stops({name: sorted(onsets) for name, onsets in groups.items()}, part)


def _group(timed: TimedNote, part: Part) -> object:
    """What silences what: all of a bass or guitar, one key of a keyboard, a group of the kit."""
    midi = timed.note.midi
    if part is Part.KEYS:
        return midi
    if part is Part.DRUMS:
        return pieces()[midi].choke or ("alone", midi)
    return part


def _strums(notes: list[TimedNote], part: Part) -> Iterator[float]:
    """How much later than its chord each note is struck."""
    if part is not Part.GUITAR:
        yield from (0.0 for _ in notes)
        return
    chords: dict[object, list[int]] = defaultdict(list)
    for timed in notes:
        chords[timed.note.start].append(timed.note.midi)
    for timed in notes:
        down = timed.note.start.denominator == 1
        order = sorted(chords[timed.note.start], reverse=not down)
        yield STRUM_S * order.index(timed.note.midi)
