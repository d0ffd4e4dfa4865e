"""When the band's notes sound: swung exactly, in seconds, and as people play them.

Conventions: all times from the first sample of the count-in, as in a performance. `onset_s` and
`end_s` are exact: a note swings by the performance's ratio where its beat is split in 2, 4 or 8,
so a half beat of the band meets a half beat of the harp. `played_s` is `onset_s` with a small
shift, late is positive, keyed by (seed, chorus, bar, part and number of the note in its bar), so
an edit elsewhere moves nothing; for audio only. What begins with the tune begins at 0 or later.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from reedwright.band.values import Arrangement, BandNote, Part
from reedwright.performance.humanise import check_human, noticeable_s, spread
from reedwright.performance.swing import STRAIGHT, swings, swung
from reedwright.performance.values import Performance

LOOSE = 0.25
"""Standard deviation of a shift, as a share of the just noticeable displacement; from memory."""

MOST = 0.8
"""And the most it may be: below what is noticed in a steady pulse (Friberg & Sundberg 1995)."""


@dataclass(frozen=True, slots=True)
class TimedNote:
    """A note of the band in time; `played_end_s` moves with its onset."""

    note: BandNote
    onset_beats: Fraction
    end_beats: Fraction
    onset_s: float
    end_s: float
    played_s: float

    @property
    def played_end_s(self) -> float:
        return self.end_s + self.played_s - self.onset_s


class BandClock:
    """Turns the band's positions into swung beats from the start of the count-in."""

    def __init__(self, performance: Performance) -> None:
        self._performance = performance
        compound = performance.score.tune.meter.compound
        self._ratio = STRAIGHT if compound else performance.ratio

    def onset_beats(self, note: BandNote) -> Fraction:
        return self._beats(note.start, note.split)

    def end_beats(self, note: BandNote) -> Fraction:
        return self._beats(note.end, note.end_split)

    def _beats(self, position: Fraction, split: int) -> Fraction:
        if self._ratio != 1 and position.denominator > 1 and swings(split):
            position = swung(position, self._ratio)
        return position + self._performance.count_in_beats


def timed_notes(
    arrangement: Arrangement, performance: Performance, part: Part, *, human: float = 1.0
) -> Iterator[TimedNote]:
    """The notes of one part in the order of the arrangement.

    `human` scales the shifts, 0 for none. Errors: SettingError for a looseness no player has.
    """
    check_human(human)
    clock = BandClock(performance)
    jnd_s = noticeable_s(performance.seconds(1))
    place, number = (0, 0), 0
    for note in arrangement.notes[part]:
        number = number + 1 if place == (note.chorus, note.bar) else 0
        place = (note.chorus, note.bar)
        onset, end = clock.onset_beats(note), clock.end_beats(note)
        onset_s, end_s = performance.seconds(onset), performance.seconds(end)
        shift_s = 0.0
        if human:
            key = f"{arrangement.seed}|{note.chorus}.{note.bar}|{part.value}|{number}|time"
            shift_s = jnd_s * human * max(-MOST, min(MOST, LOOSE * spread(key)))
        yield TimedNote(note, onset, end, onset_s, end_s, max(0.0, onset_s + shift_s))
