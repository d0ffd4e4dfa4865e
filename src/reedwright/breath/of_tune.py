"""The breath of a tune: its notes and rests as segments of air, a plan, and where to breathe.

Conventions: seconds from the first beat of the count-in, swung as performed; every segment is
labelled with the event it belongs to, a rest with the event before it, the count-in with nothing.
- The count-in and every rest are open: the player breathes as they like.
- Where the next note goes the other way, the note gives up `lungs.gap_s` at its end, or as much
  of it as no written rest gives already, and an open segment follows.
- Notes in the same direction follow each other on one breath.
- Air of a note: its direction, the reeds sounding together, its loudness and its bend. A shake
  changes between two holes, one at a time. A chord takes the mean of its bends. An overbend counts
  like a bend of a semitone. A note is taken as written, whether or not the harp has it, and a
  chord whose notes disagree goes the way of its first. Accents, ghosts and dips pass too soon to
  count.
Source: the flows and factors of `data/breath.toml`, from memory; the rest is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from reedwright.breath.judgement import Judgement, judge
from reedwright.breath.ledger import Segment
from reedwright.breath.lungs import Direction, Lungs
from reedwright.breath.lungs_header import lungs_of
from reedwright.breath.plan import CurvePoint, curve
from reedwright.harp.note import Breath, TabNote
from reedwright.performance.perform import perform
from reedwright.performance.values import Performance, TimedEvent
from reedwright.tune.events import Event
from reedwright.tune.place import Score
from reedwright.tune.values import Loudness

# A quiet breath: the textbook tidal volume [physiology text]. Less than that, players take without
# being told, and a mark after every note would hide the ones that matter.
MARK_L = 0.5

_OVERBEND_SEMITONES = 1  # from memory: an overbend taken as hard as a half-step bend


@dataclass(frozen=True, slots=True)
class BreathReport:
    """A tune's air at one tempo. `segments` and every index of `judgement` count alike."""

    tempo_bpm: Fraction
    lungs: Lungs
    segments: tuple[Segment, ...]
    judgement: Judgement


@dataclass(frozen=True, slots=True)
class BreathMark:
    """A breath worth printing after the event `id`: `breathed_l` is what goes in (positive) or
    out (negative), the net of the whole rest."""

    id: str
    breathed_l: float

    @property
    def direction(self) -> Literal["in", "out"]:
        return "in" if self.breathed_l > 0.0 else "out"


def segments(score: Score, tempo_bpm: Fraction) -> tuple[Segment, ...]:
    """The air of a tune from the count-in to its end. Errors: SettingError for a tempo nobody can
    count, or for faults in the tune's `Lungs:` line."""
    return segments_of(perform(score, tempo_bpm), lungs_of(score.tune))


def breath_of(score: Score, tempo_bpm: Fraction) -> BreathReport:
    """Everything the breath room knows about a tune at one tempo. Errors: as `segments`."""
    lungs = lungs_of(score.tune)
    air = segments_of(perform(score, tempo_bpm), lungs)
    return BreathReport(tempo_bpm, lungs, air, judge(air, lungs))


def breath_plan_marks(score: Score, tempo_bpm: Fraction) -> tuple[BreathMark, ...]:
    """The plan's breaths of at least `MARK_L`, in the order of the tune; none where no plan
    exists. The breath before the first note belongs to the count-in and is not among them."""
    report = breath_of(score, tempo_bpm)
    plan = report.judgement.plan
    if plan is None:
        return ()
    return tuple(
        BreathMark(segment.label, breathed_l)
        for segment, breathed_l in between_notes(report.segments, plan.breathed_l)
        if abs(breathed_l) >= MARK_L
    )


def breath_marks(score: Score, tempo_bpm: Fraction) -> frozenset[str]:
    """Ids of the events after which a sheet prints a breath."""
    return frozenset(mark.id for mark in breath_plan_marks(score, tempo_bpm))


def breath_curve(score: Score, tempo_bpm: Fraction) -> tuple[CurvePoint, ...]:
    """Lung volume over time to draw: the plan and the corridor of all plans, or, where there is
    none, the possible volumes up to where the player runs full or empty."""
    report = breath_of(score, tempo_bpm)
    verdict = report.judgement
    return tuple(curve(report.segments, verdict.hard.ledger, verdict.plan))


def segments_of(
    performance: Performance, lungs: Lungs, stretch: float = 1.0
) -> tuple[Segment, ...]:
    """The air of a performance; the rest after the last note is included. Linear in its notes.

    `stretch` makes every duration so many times longer, which is another tempo at the same swing
    ratio; what a turn takes from a note stays in seconds.
    """
    events = performance.events
    if not events:
        return tuple(_open(performance.length_s * stretch, ""))
    flows = _Flows(lungs)
    parts = [*_open(events[0].score_s * stretch, "")]
    for timed, following in pairwise(events):
        turns = following.event.sound.breath is not timed.event.sound.breath
        parts += flows.note(timed, following.score_s, turns, stretch)
    last_s = max(performance.length_s, events[-1].score_end_s)
    parts += flows.note(events[-1], last_s, False, stretch)
    return tuple(parts)


def flow_of(event: Event, lungs: Lungs) -> float:
    """Air of an event's sound, litres per second, either way."""
    sound = event.sound
    reeds = sound.reeds
    bend = sum(map(_bend, reeds)) / len(reeds)
    return lungs.flow_l_per_s(_way(sound.breath), len(sound.notes), event.loudness, bend)


class _Flows:
    """Segments of notes. A lick comes again and again, so each of its sounds is worked out once."""

    def __init__(self, lungs: Lungs) -> None:
        self._lungs = lungs
        self._known: dict[tuple[int, Loudness], float] = {}  # by identity: the score holds them

    def note(self, timed: TimedEvent, until_s: float, turns: bool, stretch: float) -> list[Segment]:
        event = timed.event
        rest_s = (until_s - timed.score_end_s) * stretch
        length_s = timed.length_s * stretch
        gap_s = max(self._lungs.gap_s(length_s) - rest_s, 0.0) if turns else 0.0
        key = (id(event.sound), event.loudness)
        flow = self._known.get(key)
        if flow is None:
            flow = self._known[key] = flow_of(event, self._lungs)
        way = _way(event.sound.breath)
        return [Segment(way, length_s - gap_s, flow, event.id), *_open(rest_s + gap_s, event.id)]


def _open(duration_s: float, label: str) -> tuple[Segment, ...]:
    return (Segment("open", duration_s, label=label),) if duration_s > 0.0 else ()


def _way(breath: Breath) -> Direction:
    return "draw" if breath is Breath.DRAW else "blow"


def _bend(note: TabNote) -> int:
    return _OVERBEND_SEMITONES if note.over else note.bend


def between_notes(
    air: tuple[Segment, ...], breathed_l: tuple[float, ...]
) -> Iterator[tuple[Segment, float]]:
    """Open segments with what is breathed in them, but for the count-in and after the last note,
    where nobody needs to be told."""
    for index, segment in enumerate(air[:-1]):
        if segment.kind == "open" and segment.label:
            yield segment, breathed_l[index]
