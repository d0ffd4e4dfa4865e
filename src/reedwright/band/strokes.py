"""From the notes of a part to strokes: which sound, when, how loud, and when it is cut.

Conventions: seconds from the first sample of the count-in. Lengths come from the exact times, so
that notes alike share one rendering; only the onset has human timing. A bass has one string at a
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
    NoteKey,
    layer_of,
    length_steps,
    loudness,
    table,
)
from reedwright.band.timing import TimedNote, timed_notes
from reedwright.band.values import Arrangement, Keys, Part
from reedwright.errors import Problem, SettingError
from reedwright.performance.values import Performance

VARIANTS = {Part.DRUMS: 4, Part.BASS: 3, Part.GUITAR: 3, Part.KEYS: 2}
"""How many strokes of a kind differ before one comes again."""

STRUM_S = 0.005
"""From string to string of a strummed chord (from memory: a quick stroke)."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A sound of an instrument, when it begins and how hard it is struck."""

    key: NoteKey
    played_s: float
    velocity: float

    @property
    def gain(self) -> float:
        """Of its note in the mix."""
        return loudness(self.velocity)

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
    stops = _stops(notes, part)
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
        layer, length = layer_of(note.velocity), length_steps(length_s)
        if part is Part.DRUMS:
            length = _drum_length(timed, stops)
        key = NoteKey(instrument, note.midi, layer, variant, length)
        yield Stroke(key, timed.played_s + late_s, note.velocity)


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


def _drum_length(timed: TimedNote, stops: _Stops) -> int:
    """0 rings out; a hat is cut by the next stroke of the hat."""
    after_s = stops.after(timed)
    piece = pieces()[timed.note.midi]
    if not piece.choke or after_s - timed.onset_s >= piece.ring_s:
        return 0
    return length_steps(after_s - timed.onset_s)


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
