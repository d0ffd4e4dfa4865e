"""What a performance is made of: timed events, bar lines and markers.

Conventions: beats are counted beats from the start of the count-in, exact and swung; `score_s` is
the same moment in seconds, rounded once to the nearest double. The count-in begins at 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from reedwright.tune.events import Event
from reedwright.tune.place import Score


@dataclass(frozen=True, slots=True)
class TimedEvent:
    """An event of the score and when it sounds; `event.id` is its name everywhere."""

    event: Event
    onset_beats: Fraction
    length_beats: Fraction
    score_s: float
    score_end_s: float

    @property
    def end_beats(self) -> Fraction:
        return self.onset_beats + self.length_beats

    @property
    def length_s(self) -> float:
        return self.score_end_s - self.score_s


@dataclass(frozen=True, slots=True)
class BarLine:
    """Where a bar of the tune starts; `chorus` and `bar` as people count, from 1."""

    chorus: int
    bar: int
    onset_beats: int
    score_s: float


class MarkerKind(StrEnum):
    CHORUS = "chorus"
    LICK = "lick"


@dataclass(frozen=True, slots=True)
class Marker:
    """The start of a chorus (its bar 1) or of a placed lick (its first sound, pickup included).

    `text` is `Chorus 2` or the lick's name.
    """

    kind: MarkerKind
    text: str
    chorus: int
    onset_beats: Fraction
    score_s: float


@dataclass(frozen=True, slots=True)
class Performance:
    """A score at one tempo and one swing ratio. `events` in order of time, none overlapping.

    `count_in_beats` are counted before bar 1; a pickup sounds in the last of them.
    """

    score: Score
    tempo_bpm: Fraction
    ratio: Fraction
    count_in_beats: int
    length_beats: int
    events: tuple[TimedEvent, ...]
    bar_lines: tuple[BarLine, ...]
    markers: tuple[Marker, ...]

    @property
    def length_s(self) -> float:
        return self.seconds(self.length_beats)

    def seconds(self, beats: Fraction | int) -> float:
        """The moment of a (swung) beat from the start of the count-in."""
        return float(beats * 60 / self.tempo_bpm)
