"""The notes of a performance as MIDI key presses and turns of its controllers, no library needed.

Conventions: times in ticks from the start of the count-in; channels 0–15 on the wire. A bent note
presses the key of its natural note and bends that down; an overbend, which is a note of its own,
presses its own key. Reeds that sound together but differ in their bend or in their temperament
lie on channels of their own, since a pitch bend moves a whole channel; equal ones share one.
A shake alternates its two notes in equal parts of the note; a rake touches the holes on its way.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import IntEnum
from fractions import Fraction
from itertools import pairwise

from reedwright.errors import SheetError
from reedwright.harp.harp import Harp
from reedwright.harp.note import TabNote
from reedwright.performance.habits import RAKE_STEP_S, SHAKE_HZ
from reedwright.performance.midifile import Ticks
from reedwright.performance.values import Performance, TimedEvent
from reedwright.sheet.midi_shape import FULL, OPEN_BRIGHTNESS, Shape, shape_of
from reedwright.tune.values import Loudness, MarkKind, Sound

BEND_RANGE = 24
"""Semitones of pitch bend each way, set by RPN 0. A 5-semitone bend dipped by 5 more on a harp
tuned a semitone off needs 13; a step of the bend is 24 · 100 / 8192 = 0.29 cents."""

BEND_STEPS = 8192  # of a pitch bend to each side (MIDI 1.0)
CHANNELS = tuple(channel for channel in range(16) if channel != 9)  # 10 on the panel is percussion
CURVE_STEP_S = 0.01  # curves are sampled a hundred times a second; from memory
VELOCITY = {
    Loudness.VERY_SOFT: 40,
    Loudness.SOFT: 56,
    Loudness.MEDIUM: 74,
    Loudness.LOUD: 94,
    Loudness.VERY_LOUD: 110,
}  # from memory
ACCENT = 16  # velocity an accent adds; from memory
GHOST = 0.55  # share of its velocity a ghost note keeps; from memory


class Control(IntEnum):
    """What is turned: a pitch bend, or a controller by its number (MIDI 1.0)."""

    BEND = -1
    EXPRESSION = 11
    BRIGHTNESS = 74


AT_REST = {
    Control.BEND: 0,
    Control.EXPRESSION: FULL,
    Control.BRIGHTNESS: OPEN_BRIGHTNESS,
}
"""How every channel stands before its first note."""


@dataclass(frozen=True, slots=True)
class Press:
    """A key held from one tick to another."""

    start: int
    end: int
    channel: int
    key: int
    velocity: int


@dataclass(frozen=True, slots=True)
class Turn:
    """A control set to a value from a tick on."""

    tick: int
    channel: int
    control: Control
    value: int


@dataclass(frozen=True, slots=True)
class _Touch:
    """One tab note from one tick to another."""

    note: TabNote
    start: int
    end: int


class NoteWriter:
    """Writes events in the order of time; remembers how each channel's controls stand."""

    def __init__(self, performance: Performance) -> None:
        self._harp = performance.score.tune.harp
        self._ticks = Ticks(performance)
        self._beats_per_s = float(performance.tempo_bpm / 60)
        self._ticks_per_s = self._ticks.per_beat * self._beats_per_s
        self._standing: dict[tuple[int, Control], int] = {}
        self._keys: dict[TabNote, tuple[int, float]] = {}

    def tick(self, beats: Fraction | int) -> int:
        """The nearest tick of a beat, halves up."""
        return self._ticks.at(beats)

    def presses(self, timed: TimedEvent) -> list[Press]:
        """The keys of one event, low hole first; reeds that sound the same press one key."""
        channels = self._channels(timed.event.sound)
        velocity = velocity_of(timed)
        presses: dict[Press, None] = {}
        for touch in self._touches(timed):
            key, cents = self._key(touch.note)
            presses[Press(touch.start, touch.end, channels[cents], key, velocity)] = None
        return list(presses)

    def turns(self, timed: TimedEvent) -> Iterator[Turn]:
        """Every change of a control that one event needs, in order of time."""
        shape = shape_of(timed, self._beats_per_s)
        start, end = self.tick(timed.onset_beats), self.tick(timed.end_beats)
        channels = self._channels(timed.event.sound)
        for tick in self._samples(start, end, shape):
            at_s = (tick - start) / self._ticks_per_s
            moved = shape.cents(at_s) if shape.pitch_moves else 0.0
            expression, brightness = shape.expression(at_s), shape.brightness(at_s)
            for cents, channel in channels.items():
                yield from self._turn(tick, channel, Control.BEND, bend_value(cents + moved))
                yield from self._turn(tick, channel, Control.EXPRESSION, expression)
                yield from self._turn(tick, channel, Control.BRIGHTNESS, brightness)

    def _turn(self, tick: int, channel: int, control: Control, value: int) -> Iterator[Turn]:
        if self._standing.get((channel, control), AT_REST[control]) != value:
            self._standing[channel, control] = value
            yield Turn(tick, channel, control, value)

    def _samples(self, start: int, end: int, shape: Shape) -> list[int]:
        if not shape.moves:
            return [start]
        ticks = list(range(start, end, max(1, round(CURVE_STEP_S * self._ticks_per_s))))
        return [*ticks, end - 1] if ticks[-1] < end - 1 else ticks

    def _key(self, note: TabNote) -> tuple[int, float]:
        """Key number and the cents it is bent by, before any mark moves it."""
        found = self._keys.get(note)
        if found is None:
            key = self._harp.midi(note) + note.bend
            found = self._keys[note] = (key, self._harp.cents(note) - 100.0 * note.bend)
        return found

    def _channels(self, sound: Sound) -> dict[float, int]:
        """A channel for each amount of bend, the written notes first."""
        bends = dict.fromkeys(
            self._key(note)[1] for note in (*sound.reeds, *_raked(sound, self._harp))
        )
        if len(bends) > len(CHANNELS):
            raise SheetError(
                f"{len(bends)} reeds bent differently at once. MIDI has {len(CHANNELS)} channels "
                "for them. Mend: write fewer notes together."
            )
        return dict(zip(bends, CHANNELS, strict=False))

    def _touches(self, timed: TimedEvent) -> list[_Touch]:
        sound = timed.event.sound
        start, end = self.tick(timed.onset_beats), self.tick(timed.end_beats)
        touches: list[_Touch] = []
        raked = _raked(sound, self._harp)
        if raked:
            step = min(round(RAKE_STEP_S * self._ticks_per_s), (end - start) // (2 * len(raked)))
            for note in raked:
                touches.append(_Touch(note, start, start + step))
                start += step
        if sound.shake is None:
            return touches + [_Touch(note, start, end) for note in sound.notes]
        return touches + self._shaken(timed, sound.notes[0], sound.shake, start, end)

    def _shaken(
        self, timed: TimedEvent, first: TabNote, second: TabNote, start: int, end: int
    ) -> list[_Touch]:
        rate = timed.event.sound.shake_rate or shake_rate(timed)
        step = Fraction(self._ticks.per_beat) / rate
        ticks = [start]
        while (after := start + round(len(ticks) * step)) < end:
            ticks.append(after)
        ticks.append(end)
        both = (first, second)
        return [_Touch(both[n % 2], on, off) for n, (on, off) in enumerate(pairwise(ticks))]


def shake_rate(timed: TimedEvent) -> Fraction:
    """Changes per beat of a shake without a rate: whole turns there and back, about SHAKE_HZ."""
    changes = 2 * max(1, round(timed.length_s * SHAKE_HZ / 2))
    return changes / timed.length_beats


def velocity_of(timed: TimedEvent) -> int:
    """Velocity 1–127 from loudness, accent and ghost."""
    sound = timed.event.sound
    velocity = VELOCITY[timed.event.loudness] + ACCENT * bool(sound.mark(MarkKind.ACCENT))
    return min(127, round(velocity * GHOST) if sound.mark(MarkKind.GHOST) else velocity)


def bend_value(cents: float) -> int:
    """Cents as a pitch bend of −8192 … 8191 at our range."""
    value = round(cents * BEND_STEPS / (100.0 * BEND_RANGE))
    return max(-BEND_STEPS, min(BEND_STEPS - 1, value))


def _raked(sound: Sound, harp: Harp) -> tuple[TabNote, ...]:
    """The natural notes a rake touches on its way to the nearest hole of its note."""
    rake = sound.mark(MarkKind.RAKE)
    if rake is None:
        return ()
    begin, low, high = int(rake.amount), sound.notes[0].hole, sound.notes[-1].hole
    holes = range(begin, low) if begin < low else range(begin, high, -1)
    return tuple(TabNote(hole, sound.breath) for hole in holes if hole <= harp.holes)
