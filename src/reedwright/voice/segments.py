"""From playings to segments: which notes are one run of sound, and what each hole does in it.

Conventions: a slurred note goes on in the segment of the note before. A segment starts at its first
sounding hole (a rake starts before its note), rounded to the sample, and ends `TAIL_S` after its
breath. Which holes the chamber model plays is settled here, from the table of solved kinds: one
hole at a time, in its range, where it starts; chords, shakes and passing holes are wavetables.
"""

from __future__ import annotations

from collections.abc import Iterator

from reedwright.harp.harp import Harp
from reedwright.harp.note import TabNote
from reedwright.performance.playing import Attack, Curve, Played, Playing, level
from reedwright.voice.choice import played_by_model
from reedwright.voice.holes import hole_of, target_cents
from reedwright.voice.values import SAMPLE_HZ, HoleLine, Segment, rounded

TAIL_S = 0.03  # what still sounds when the breath has stopped
SWITCH_S = 0.008  # from one hole to the other in a shake (from memory)
PASSING_S = 0.005  # in which a passing hole comes, and goes (from memory)
PASSING_SHARE = 0.6  # of the amplitude that a passing hole gets (from memory)
CHORD_POWER = 0.35  # n holes at once get n^-0.35 of the amplitude each (from memory)
TONGUED = {
    Attack.TONGUE: 1.0,
    Attack.SLAP: 1.0,
    Attack.PULL: 0.6,
    Attack.RAKE: 0.4,
    Attack.BREATH: 0.1,
    Attack.SLUR: 0.0,
}
"""How hard the tongue starts a note (from memory)."""


def segments(played: Played) -> tuple[Segment, ...]:
    """Every segment of a performance, in the order of time."""
    harp = played.performance.score.tune.harp
    return tuple(segment_of(run, harp) for run in runs(played.playings))


def runs(playings: tuple[Playing, ...]) -> Iterator[tuple[Playing, ...]]:
    """Playings that are one sound: a note and those slurred to it."""
    run: list[Playing] = []
    for playing in playings:
        if run and not _goes_on(run[-1], playing):
            yield tuple(run)
            run = []
        run.append(playing)
    if run:
        yield tuple(run)


def _goes_on(before: Playing, after: Playing) -> bool:
    return (
        after.attack is Attack.SLUR
        and len(before.reeds) == len(after.reeds) == 1
        and before.other is None
        and after.other is None
        and before.reeds[0].natural() == after.reeds[0].natural()
        and before.reeds[0].over == after.reeds[0].over
    )


def segment_of(run: tuple[Playing, ...], harp: Harp) -> Segment:
    """One run as a segment."""
    first, last = run[0], run[-1]
    lead_s = max([0.0, *(-start_s for start_s, _, _ in first.passing)])
    start_s = max(0.0, first.played_s - lead_s)
    breath = _joined([(p.played_s - start_s, p.breath) for p in run], lead_s)
    lines = (*_sounding(run, start_s, breath, harp), *_passing(run, start_s, breath, harp))
    return Segment(
        start_sample=round(start_s * SAMPLE_HZ),
        samples=max(1, round((last.played_end_s - start_s + TAIL_S) * SAMPLE_HZ)),
        lines=lines,
        breath=breath,
        tongued=TONGUED[first.attack],
        blocked=any(playing.blocked for playing in run),
    )


def _joined(pieces: list[tuple[float, Curve]], lead_s: float = 0.0, digits: int = 4) -> Curve:
    """Curves one after the other, at their times in the segment; `lead_s`: a rake before them."""
    times: list[float] = []
    values: list[float] = []
    for start_s, curve in pieces:
        after = [max(start_s + time_s, times[-1] if times else 0.0) for time_s in curve.times_s]
        times += after
        values += curve.values
    if lead_s > 0:
        top = max(values) if values else 0.0
        times = [0.0, min(PASSING_S, lead_s), *times]
        values = [0.0, top, *values]
        values[2] = top  # the air does not stop between the rake and its note
    return rounded(Curve(tuple(times), tuple(values)), digits)


def _sounding(
    run: tuple[Playing, ...], start_s: float, breath: Curve, harp: Harp
) -> Iterator[HoleLine]:
    """The lines of the holes that were written."""
    first = run[0]
    notes = (*first.reeds, *([first.other] if first.other is not None else []))
    shares = _shares(first, first.played_s - start_s)
    alone = len(notes) == 1
    for note, share in zip(notes, shares, strict=True):
        hole = hole_of(harp, note)
        pieces = [(p.played_s - start_s, _from_closing(p, note, harp)) for p in run]
        cents = _joined(pieces, digits=2)
        modelled = alone and played_by_model(hole, cents, breath)
        yield HoleLine(hole, cents, breath, share, loose=not alone, modelled=modelled)


def _from_closing(playing: Playing, note: TabNote, harp: Harp) -> Curve:
    """Cents above the closing reed; of several notes all move alike."""
    own = playing.reeds[0] if len(playing.reeds) == 1 and playing.other is None else note
    target = target_cents(harp, own)
    line = playing.pitch_cents
    return Curve(line.times_s, tuple(target + value for value in line.values))


def _shares(playing: Playing, onset_s: float) -> list[Curve]:
    """How the holes of a playing share its sound."""
    if playing.other is None:
        share = len(playing.reeds) ** -CHORD_POWER
        return [_gate([(onset_s, share)])] * len(playing.reeds)
    turns = [onset_s, *(onset_s + time_s for time_s in playing.switch_s)]
    own = [(time_s, float(turn % 2 == 0)) for turn, time_s in enumerate(turns)]
    other = [(time_s, 1 - share) for time_s, share in own]
    each = len(playing.reeds) ** -CHORD_POWER
    first = _gate([(time_s, share * each) for time_s, share in own])
    return [first] * len(playing.reeds) + [_gate(other)]


def _gate(steps: list[tuple[float, float]], fade_s: float = SWITCH_S) -> Curve:
    """A share that changes at moments, each time in a short while; 0 before the first one."""
    times, values = [0.0], [0.0 if steps[0][0] > 0 else steps[0][1]]
    for time_s, share in steps:
        begin = max(time_s, times[-1])
        times += [begin, begin + fade_s]
        values += [values[-1], share]
    return rounded(Curve(tuple(times), tuple(values)), 4)


def _passing(
    run: tuple[Playing, ...], start_s: float, breath: Curve, harp: Harp
) -> Iterator[HoleLine]:
    """The lines of holes that only pass: rakes, slaps, pulls."""
    for playing in run:
        onset_s = playing.played_s - start_s
        for begin_s, end_s, note in playing.passing:
            steps = [(onset_s + begin_s, PASSING_SHARE), (onset_s + end_s, 0.0)]
            share = _gate([(max(0.0, time_s), value) for time_s, value in steps], PASSING_S)
            yield HoleLine(hole_of(harp, note), level(0.0), breath, share, loose=True)
