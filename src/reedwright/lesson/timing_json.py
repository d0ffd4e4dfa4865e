"""One tempo of a lesson as plain values: when every note, bar line, click and breath falls.

Conventions: seconds from the first sample of the count-in, to the microsecond; litres of air in the
lungs. `played_s` is the demonstration's own timing, by the same seed as the recordings'.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from reedwright.breath.judgement import Judgement, judge
from reedwright.breath.ledger import Segment
from reedwright.breath.lungs_header import lungs_of
from reedwright.breath.of_tune import MARK_L, BreathReport, between_notes, breath_of, segments_of
from reedwright.breath.plan import curve
from reedwright.performance.countin import click_track
from reedwright.performance.perform import perform
from reedwright.performance.play import play
from reedwright.performance.playing import Click, Playing
from reedwright.performance.values import Performance
from reedwright.tune.place import Score

_DECIMALS = 6


def tempo_json(score: Score, tempo_bpm: Fraction, seed: int = 0) -> dict[str, Any]:
    """Everything that depends on the tempo. Errors: SettingError, TuneError (see `play`)."""
    performance = perform(score, tempo_bpm)
    played = play(performance, seed)
    whole = tempo_bpm.denominator == 1
    return {
        "tempo_bpm": int(tempo_bpm) if whole else float(tempo_bpm),
        "tempo_exact": str(tempo_bpm),
        "ratio": str(performance.ratio),
        "beat_s": _s(performance.seconds(1)),
        "length_s": _s(performance.length_s),
        "clicks": [_click(click) for click in click_track(performance)],
        "count_in_s": _s(performance.seconds(performance.count_in_beats)),
        "bar_lines": [
            {"index": index, "chorus": line.chorus, "bar": line.bar, "score_s": _s(line.score_s)}
            for index, line in enumerate(performance.bar_lines)
        ],
        "events": [_event(playing) for playing in played.playings],
        **_breath(breath_of(score, tempo_bpm)),
    }


def breath_json(performance: Performance) -> dict[str, Any]:
    """The breath and the clock of one tempo alone: nothing of how the demonstration is played.

    Errors: SettingError for faults in the tune's `Lungs:` line.
    """
    tempo_bpm = performance.tempo_bpm
    return {
        "tempo_bpm": int(tempo_bpm) if tempo_bpm.denominator == 1 else float(tempo_bpm),
        "beat_s": _s(performance.seconds(1)),
        "length_s": _s(performance.length_s),
        "bar_lines": [
            {"index": index, "chorus": line.chorus, "bar": line.bar, "score_s": _s(line.score_s)}
            for index, line in enumerate(performance.bar_lines)
        ],
        "events": [
            {
                "id": timed.event.id,
                "score_s": _s(timed.score_s),
                "score_end_s": _s(timed.score_end_s),
            }
            for timed in performance.events
        ],
        **_breath(_report(performance)),
    }


def _click(click: Click) -> dict[str, Any]:
    return {"kind": click.kind.value, "beat": click.beat, "score_s": _s(click.score_s)}


def _event(playing: Playing) -> dict[str, Any]:
    timed = playing.timed
    return {
        "id": playing.id,
        "score_s": _s(timed.score_s),
        "score_end_s": _s(timed.score_end_s),
        "played_s": _s(playing.played_s),
        "played_end_s": _s(playing.played_end_s),
    }


def _report(performance: Performance) -> BreathReport:
    """The air of a performance that is there already."""
    lungs = lungs_of(performance.score.tune)
    air = segments_of(performance, lungs)
    return BreathReport(performance.tempo_bpm, lungs, air, judge(air, lungs))


def _breath(report: BreathReport) -> dict[str, Any]:
    """The plan to draw, with its limits, and the breaths worth a word; no plan, no line."""
    hard, comfortable = report.lungs.hard, report.lungs.comfortable
    return {
        "breath": list(_line(report.segments, report.judgement)),
        "breaths": list(_breaths(report.segments, report.judgement)),
        "lungs": {
            "low_l": hard.low_l,
            "high_l": hard.high_l,
            "comfortable_low_l": comfortable.low_l,
            "comfortable_high_l": comfortable.high_l,
        },
    }


def _line(segments: tuple[Segment, ...], judgement: Judgement) -> Iterator[dict[str, float]]:
    if judgement.plan is not None:
        for point in curve(segments, judgement.hard.ledger, judgement.plan):
            if point.planned_l is not None:
                yield {"time_s": _s(point.time_s), "litres": round(point.planned_l, 3)}


def _breaths(segments: tuple[Segment, ...], judgement: Judgement) -> Iterator[dict[str, Any]]:
    """Each breath of the plan that is worth printing: where its rest begins."""
    if judgement.plan is not None:
        for segment, breathed_l in between_notes(segments, judgement.plan.breathed_l):
            if abs(breathed_l) >= MARK_L:
                way = "in" if breathed_l > 0 else "out"
                yield {"after": segment.label, "way": way, "litres": round(abs(breathed_l), 3)}


def _s(seconds: float) -> float:
    return round(seconds, _DECIMALS)
