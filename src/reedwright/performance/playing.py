"""How a performance is played: human time, and what breath, mouth and hands do during each note.

Conventions: two clocks, both from the first sample of the count-in: `score_s` is exact, `played_s`
has the player's own timing (late is positive). Curves run in seconds from the played onset of
their note, straight between their points and level outside them. Nothing here knows how sound is
made: the voice and the amplifier read the same curves.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from enum import StrEnum
from itertools import islice
from math import isfinite
from operator import le

from reedwright.harp.note import TabNote
from reedwright.performance.habits import SLAP_S
from reedwright.performance.values import Performance, TimedEvent


@dataclass(frozen=True, slots=True)
class Curve:
    """A value over time: `times_s` rise (two equal times are a step), one value for each."""

    times_s: tuple[float, ...]
    values: tuple[float, ...]

    def __post_init__(self) -> None:
        rising = all(map(le, self.times_s, islice(self.times_s, 1, None)))
        if not self.times_s or len(self.times_s) != len(self.values) or not rising:
            raise ValueError("A curve has as many values as rising times, and at least one.")
        if not (all(map(isfinite, self.times_s)) and all(map(isfinite, self.values))):
            raise ValueError("Performance: a curve holds a number that is not finite.")

    def at(self, time_s: float) -> float:
        """The value at a moment."""
        after = bisect_right(self.times_s, time_s)
        if after == 0:
            return self.values[0]
        if after == len(self.times_s):
            return self.values[-1]
        (a, b), (low, high) = (
            self.times_s[after - 1 : after + 1],
            self.values[after - 1 : after + 1],
        )
        return low + (high - low) * (time_s - a) / (b - a)


def level(value: float) -> Curve:
    """A curve that stays where it is."""
    return Curve((0.0,), (value,))


class Attack(StrEnum):
    """How a note begins."""

    TONGUE = "tongue"  # a light tongued start, the usual one
    BREATH = "breath"  # no tongue: a soft, slower start
    SLAP = "slap"  # the tongue lands: holes beside it sound for a moment first
    PULL = "pull"  # the tongue leaves: the chord beside it joins at the end
    RAKE = "rake"  # swept in over the holes of `swept`
    SLUR = "slur"  # goes on from the note before on the same hole: no new start


@dataclass(frozen=True, slots=True)
class Playing:
    """One event as it is played.

    Attributes:
        timed: the event and its exact times.
        played_s, played_end_s: when it really begins and ends.
        reeds: the tab notes that sound together, low hole to high (of a shake: the first hole).
        other: the second note of a shake, None without one.
        switch_s: moments, in seconds from the onset, at which a shake changes to the other hole and
            back, in turn.
        pitch_cents: cents from the target pitch of the written note: a dip comes from below, a fall
            goes down, throat vibrato sways a little.
        breath: 0 (no air) to 1 (very loud); 0.5 is medium. Holds loudness, accent, ghost, and the
            swing of throat vibrato and flutter; rises from 0 and falls to 0, but through a slur.
        cup: 0 closed to 1 open.
        attack: how it begins.
        swept: the holes that sound beside the note, and when they begin, seconds from the onset: of
            a rake, those passed before it (negative); of a slap, the neighbours at its start (0);
            of a pull, those at its end. `passing` says when each of them ends.
        flutter_hz: the tongue's roll, 0 for none; its swing is already in `breath`.
        blocked: played by tongue block: a rounder, darker tone.
    """

    timed: TimedEvent
    played_s: float
    played_end_s: float
    reeds: tuple[TabNote, ...]
    pitch_cents: Curve
    breath: Curve
    cup: Curve
    attack: Attack = Attack.TONGUE
    other: TabNote | None = None
    switch_s: tuple[float, ...] = ()
    swept: tuple[tuple[float, TabNote], ...] = ()
    flutter_hz: float = 0.0
    blocked: bool = False

    def __post_init__(self) -> None:
        moments = (self.played_s, self.played_end_s, *self.switch_s)
        if not all(map(isfinite, moments)) or not 0 <= self.played_s < self.played_end_s:
            raise ValueError(f"Performance: {self.id} is played from {moments[0]} to {moments[1]}.")

    @property
    def passing(self) -> tuple[tuple[float, float, TabNote], ...]:
        """Start, end and tab note of every hole of `swept`, in seconds from the onset."""
        starts = [start_s for start_s, _ in self.swept]
        if self.attack is Attack.RAKE:
            ends = [*starts[1:], 0.0]
        elif self.attack is Attack.SLAP:
            ends = [min(SLAP_S, self.length_s / 3)] * len(starts)
        else:
            ends = [self.length_s] * len(starts)
        pairs = zip(self.swept, ends, strict=False)
        return tuple((start_s, end_s, note) for (start_s, note), end_s in pairs)

    @property
    def id(self) -> str:
        return self.timed.event.id

    @property
    def length_s(self) -> float:
        return self.played_end_s - self.played_s


class ClickKind(StrEnum):
    """What a click of the count-in, or of the click track, says."""

    OPENING = "opening"  # the sound that opens every recording and occurs nowhere else in it
    BAR = "bar"  # beat 1
    BEAT = "beat"
    PICKUP = "pickup"  # a beat, or the offbeat, on which a pickup comes in


@dataclass(frozen=True, slots=True)
class Click:
    """A click at an exact time; `beat` counts from 1 inside its bar."""

    kind: ClickKind
    beat: int
    score_s: float


@dataclass(frozen=True, slots=True)
class Played:
    """A performance as somebody plays it: the same seed plays it the same way again.

    `human`: how loose its timing is, 0 exact, 1 usual.
    """

    performance: Performance
    seed: int
    playings: tuple[Playing, ...]
    count_in: tuple[Click, ...]
    human: float = 1.0
