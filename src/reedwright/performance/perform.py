"""From a placed tune to a performance: one pure step, linear in the notes and bars.

Conventions: see `values` and `swing`. The count-in has the whole bars the tune asks for; bar 1
follows it, and a pickup (bar 0) sounds inside its last bar. An event's time depends on its own
place only, except in a beat shared with another lick (see `swing`).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from fractions import Fraction

from reedwright.errors import Problem, SettingError
from reedwright.performance.swing import STRAIGHT, straight_beats, swung
from reedwright.performance.values import BarLine, Marker, MarkerKind, Performance, TimedEvent
from reedwright.tune.events import Event
from reedwright.tune.meter import SWING_LIMITS, TEMPO_LIMITS_BPM
from reedwright.tune.order import Placement
from reedwright.tune.place import Score


def perform(score: Score, tempo_bpm: Fraction, ratio: Fraction | None = None) -> Performance:
    """Every event, bar line and marker of a score in time.

    `tempo_bpm` in counted beats a minute; `ratio` long:short, the tune's own feel at this tempo
    when it is None. Compound meters never swing, whatever the ratio. Errors: SettingError for a
    tempo nobody can count or a ratio outside 1 … 3.5.
    """
    tune = score.tune
    check_tempo(tempo_bpm)
    chosen = tune.feel.ratio_at(tempo_bpm) if ratio is None else ratio
    _check("swing ratio", chosen, SWING_LIMITS, "(long:short)")
    if tune.meter.compound:
        chosen = STRAIGHT
    clock = _Clock(score, tempo_bpm, chosen)
    return Performance(
        score=score,
        tempo_bpm=tempo_bpm,
        ratio=chosen,
        count_in_beats=clock.count_in,
        length_beats=clock.count_in + score.bars * tune.meter.beats,
        events=tuple(clock.timed(event) for event in score.events),
        bar_lines=tuple(_bar_lines(score, clock)),
        markers=tuple(_markers(score, clock)),
    )


class _Clock:
    """Turns positions of the score into swung beats from the count-in, and into seconds."""

    def __init__(self, score: Score, tempo_bpm: Fraction, ratio: Fraction) -> None:
        self.count_in = score.tune.count_in_bars * score.tune.meter.beats
        self._beat_s = 60 / Fraction(tempo_bpm)
        self._ratio = ratio
        self._parts: dict[tuple[int, int], Fraction] = {}
        self._straight = frozenset() if ratio == 1 else straight_beats(score.events)

    def beats(self, position: Fraction) -> Fraction:
        """A position in swung beats from the start of the count-in."""
        beat, part = divmod(position.numerator, position.denominator)
        if part and self._ratio != 1 and beat not in self._straight:
            return self.count_in + beat + self._swung(part, position.denominator)
        return position + self.count_in

    def _swung(self, part: int, split: int) -> Fraction:
        """Where a part of a beat is played; a tune has few of them, so each is worked out once."""
        played = self._parts.get((part, split))
        if played is None:
            played = self._parts[part, split] = swung(Fraction(part, split), self._ratio)
        return played

    def seconds(self, beats: Fraction | int) -> float:
        """Rounded once: the division of whole numbers is (several times faster than by way of a
        fraction, and this is asked twice for every note)."""
        numerator = beats.numerator * self._beat_s.numerator
        return numerator / (beats.denominator * self._beat_s.denominator)

    def timed(self, event: Event) -> TimedEvent:
        onset, end = self.beats(event.start), self.beats(event.end)
        return TimedEvent(event, onset, end - onset, self.seconds(onset), self.seconds(end))


def _bar_lines(score: Score, clock: _Clock) -> Iterator[BarLine]:
    for bar in range(score.bars):
        chorus, number = score.order.place_of(bar)
        onset = clock.count_in + bar * score.tune.meter.beats
        yield BarLine(chorus, number, onset, clock.seconds(onset))


def _markers(score: Score, clock: _Clock) -> list[Marker]:
    """Choruses and licks in order of time, a chorus before the lick that opens it."""
    beats = score.tune.meter.beats
    marks = [
        (MarkerKind.CHORUS, f"Chorus {chorus}", chorus, Fraction(start * beats))
        for chorus, start in enumerate(score.order.chorus_starts, 1)
    ]
    starts = [event.start for event in score.events]
    for placement in score.order.placements:
        if placement.lick is not None:
            name = placement.lick.lick.name
            first = _first_sound(placement, name, score, starts)
            marks.append((MarkerKind.LICK, name, placement.chorus, first))
    timed = [
        Marker(kind, text, chorus, onset := clock.beats(start), clock.seconds(onset))
        for kind, text, chorus, start in marks
    ]
    return sorted(timed, key=lambda mark: (mark.onset_beats, mark.kind))


def _first_sound(placement: Placement, name: str, score: Score, starts: list[Fraction]) -> Fraction:
    """Where a placed lick begins to sound; a lick of rests alone: its first bar."""
    beats = score.tune.meter.beats
    begin = Fraction((placement.start + placement.first - placement.base) * beats)
    end = placement.end * beats
    for index in range(bisect_left(starts, begin), len(starts)):
        if starts[index] >= end:
            break
        if score.events[index].lick == name:
            return starts[index]
    return begin


def check_tempo(tempo_bpm: Fraction) -> None:
    """Refuse a tempo nobody can count. Errors: SettingError."""
    _check("tempo", tempo_bpm, TEMPO_LIMITS_BPM, "counted beats a minute")


def _check(
    name: str, value: Fraction, limits: tuple[Fraction | int, Fraction | int], unit: str
) -> None:
    low, high = limits
    if not low <= value <= high:
        raise SettingError(
            Problem(
                found=f"{name} {float(value):g}",
                rule=f"It lies between {float(low):g} and {float(high):g} {unit}",
                mend=f"choose a {name} in that range",
            )
        )
