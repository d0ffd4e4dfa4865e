"""Every event of a tune with the chord it is heard over and what each of its reeds is there.

Conventions: rows stand in the order of the events. An event that sounds over several chords is
heard over the one it spends most time on, the first of equals: a pushed note belongs to the chord
it leads into. Notes a harp does not have are None. `landing`: the first note of a new chord, struck
within a beat of the change or held over it. `passing`: a single note outside the chord that moves
on by a step to one of the chord's. Times in counted beats. Source: common practice.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from reedwright.harmony.roles import Home, Tone, tone
from reedwright.harmony.zones import zone_above
from reedwright.harp.law import offset_of
from reedwright.harp.note import TabNote
from reedwright.harp.position import scale_of
from reedwright.tune.chords import Chord
from reedwright.tune.events import Event
from reedwright.tune.form import ChordSpan, Form
from reedwright.tune.place import Score
from reedwright.tune.tune import Tune

STEP = 2
"""Semitones of a step, a whole tone (by definition)."""

_BEAT = Fraction(1)


@dataclass(frozen=True, slots=True)
class Under:
    """A stretch of one event over one chord; `fresh`: the chord was another one just before, and
    the event is struck no more than a beat after it came."""

    chord: Chord
    length: Fraction
    fresh: bool


@dataclass(frozen=True, slots=True)
class EventHarmony:
    """One event: `chord` is None in a tune without a form; `tones` in the order of its reeds;
    `under`: every chord it sounds over, one after the other."""

    chord: Chord | None
    tones: tuple[Tone | None, ...]
    under: tuple[Under, ...] = ()
    landing: bool = False
    passing: bool = False

    @property
    def lead(self) -> Tone | None:
        """The tone of a single note; None for chords, shakes and notes that do not exist."""
        return self.tones[0] if len(self.tones) == 1 else None


def tones(score: Score) -> tuple[EventHarmony, ...]:
    """One row for each event. Linear in the events."""
    listener = Listener(score.tune)
    rows: list[EventHarmony] = []
    for event in score.events:
        under = listener.under(event)
        main = under[0] if len(under) == 1 else _longest(under)
        chord = None if main is None else main.chord
        heard = tuple(listener.tone(note, chord) for note in event.sound.reeds)
        fresh = main is not None and main.fresh
        landing = fresh and bool(rows) and rows[-1].chord != chord
        rows.append(EventHarmony(chord, heard, under, landing))
    return tuple(_with_passing(score.events, rows))


def _longest(under: tuple[Under, ...]) -> Under | None:
    return max(under, key=lambda stretch: stretch.length, default=None)


def _with_passing(events: tuple[Event, ...], rows: list[EventHarmony]) -> list[EventHarmony]:
    for index in range(len(rows) - 1):
        lead, after = rows[index].lead, rows[index + 1].lead
        if lead is None or after is None or not lead.outside or not after.in_chord:
            continue
        near = 0 < abs(after.midi - lead.midi) <= STEP
        if near and events[index + 1].start - events[index].end < _BEAT:
            rows[index] = replace(rows[index], passing=True)
    return rows


def home_of(tune: Tune) -> Home:
    """The key of a tune, its mode, and the harp's own scale in it."""
    return Home(tune.key, tune.minor, scale_of(tune.harp, tune.position))


class Listener:
    """Hears notes over chords; remembers what it has heard before."""

    def __init__(self, tune: Tune) -> None:
        self._harp, self._form, self._beats = tune.harp, tune.form, tune.meter.beats
        self._key_midi, self._fifths = tune.harp.key_midi, tune.fifths
        self._whole_bars = _whole_bars(tune.form)
        self._signed, self.home = tune.signed, home_of(tune)
        self._heard: dict[tuple[TabNote, Chord | None], Tone] = {}

    def name(self, chord: Chord) -> str:
        return chord.name(self._fifths)

    def tone(self, note: TabNote, chord: Chord | None) -> Tone | None:
        """What a tab note is over a chord; None when the harp does not have it."""
        key = (note, chord)
        heard = self._heard.get(key)
        if heard is None and not self._harp.why_not(note):
            name = "" if chord is None else self.name(chord)
            midi = self._key_midi + offset_of(self._harp.tuning, note)
            heard = tone(midi, self.home, chord, name)
            zone = zone_above(note) if heard.degree == "b3" and heard.blue else None
            if zone is not None:
                heard = replace(heard, why=f"{heard.why}, anywhere {zone.words(self._signed)}")
            self._heard[key] = heard
        return heard

    def under(self, event: Event) -> tuple[Under, ...]:
        """The chords an event sounds over, one after the other; none without a form."""
        if not self._whole_bars:
            return ()
        chord, new = self._whole_bars[(event.bar - 1) % len(self._whole_bars)]
        if chord is not None and _within_bar(event, self._beats):
            return (Under(chord, event.length, new and event.beat <= 2),)
        return tuple(_under(self._form, self._beats, event))


def _whole_bars(form: Form) -> list[tuple[Chord | None, bool]]:
    """For each bar its chord, None where it has several, and whether it is another than before."""
    bars: list[tuple[Chord | None, bool]] = []
    for number, spans in enumerate(form.bars, 1):
        chord = spans[0].chord if len(spans) == 1 else None
        bars.append((chord, _before(form, number, spans, 0) != spans[0].chord))
    return bars


def _within_bar(event: Event, beats: int) -> bool:
    """Whether an event ends in the bar it begins in. In whole numbers: this is asked of every
    event, and sums of fractions take ten times as long."""
    beat, length = event.beat, event.length
    end = (beat.numerator - beat.denominator) * length.denominator
    end += length.numerator * beat.denominator
    return end <= beats * beat.denominator * length.denominator


def _under(form: Form, beats: int, event: Event) -> list[Under]:
    """Neighbouring stretches of one chord are one; of `fresh`, the first decides."""
    found: list[Under] = []
    bar, at, left = event.bar, event.beat - 1, event.length
    while left > 0:
        spans = form.spans(bar)
        for index, span in enumerate(spans):
            end = span.start + span.length
            if at >= end:
                continue
            length = min(left, end - at)
            new = _before(form, bar, spans, index) != span.chord and at - span.start <= _BEAT
            if found and found[-1].chord == span.chord:
                found[-1] = replace(found[-1], length=found[-1].length + length)
            else:
                found.append(Under(span.chord, length, new))
            at, left = end, left - length
            if left <= 0:
                break
        bar, at = bar + 1, at - beats
    return found


def _before(form: Form, bar: int, spans: tuple[ChordSpan, ...], index: int) -> Chord:
    return spans[index - 1].chord if index else form.spans(bar - 1)[-1].chord
