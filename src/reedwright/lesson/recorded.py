"""Which recordings belong to what is done in a lesson, and how long playing lasts.

Conventions: seconds; only recordings of the tune's own harp count, whole mixes alone. Which kinds
are used for what is in `_USED`, by their names in docs/recordings.md; the first there is times the
playing. Where there is none, playing lasts its bars and the count-in at the tempo.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from reedwright.lesson.heard import Heard
from reedwright.lesson.planlines import Doing, PlanLine, Speed
from reedwright.lesson.study import LickStudy, Study

_USED = {
    (Doing.HEAR, True): ("demo", "demo-amplified", "practice"),
    (Doing.HEAR, False): ("alone", "band"),
    (Doing.LEARN, True): ("demo", "practice"),
    (Doing.LEARN, False): ("alone", "loop"),
    (Doing.JOIN, True): ("demo", "practice", "rhythm"),
    (Doing.JOIN, False): ("alone", "loop"),
    (Doing.BAND, True): ("backing", "trading", "practice"),
    (Doing.BAND, False): ("band", "loop"),
}
"""Kinds of recordings for what is done, with the whole tune (True) or a lick."""


class Recorded:
    """The recordings of one tune, and the tempos they are at."""

    def __init__(self, study: Study, heard: Iterable[Heard]) -> None:
        self._score, own = study.score, study.score.tune.harp.name
        self._heard: dict[tuple[str, str, Fraction], Heard] = {}
        for one in heard:
            if one.harp_name == own and not one.part:
                self._heard.setdefault((one.kind, one.lick, one.tempo_bpm), one)
        self.tempos_bpm = (
            tuple(sorted({tempo for _, _, tempo in self._heard})) or study.ladder.tempos_bpm
        )
        """The tempos there are recordings at, or those to practise at where there are none."""

    @property
    def any(self) -> bool:
        return bool(self._heard)

    @property
    def slow_bpm(self) -> Fraction:
        return self.tempos_bpm[0]

    @property
    def full_bpm(self) -> Fraction:
        return self.tempos_bpm[-1]

    def tempo(self, line: PlanLine) -> Fraction:
        """The tempo of a line: slow to learn and to join, else full, unless it says another."""
        if isinstance(line.speed, Fraction):
            return line.speed
        usual = Speed.SLOW if line.doing in (Doing.LEARN, Doing.JOIN) else Speed.FULL
        return self.slow_bpm if (line.speed or usual) is Speed.SLOW else self.full_bpm

    def used(self, doing: Doing, lick: LickStudy | None, tempo_bpm: Fraction) -> tuple[Heard, ...]:
        """The recordings for what is done, the one that times it first."""
        name = lick.line.slug if lick else ""
        keys = ((kind, name, tempo_bpm) for kind in _USED[doing, lick is None])
        return tuple(self._heard[key] for key in keys if key in self._heard)

    def count_in_s(self, found: Sequence[Heard], tempo_bpm: Fraction) -> float:
        """How long the count-in is: that of a recording which has one, or the tune's."""
        counted = next((one for one in found if one.counted), None)
        if counted is not None:
            return counted.count_in_s
        tune = self._score.tune
        return float(tune.count_in_bars * tune.meter.beats * 60 / tempo_bpm)

    def playing_s(
        self, found: Sequence[Heard], lick: LickStudy | None, tempo_bpm: Fraction
    ) -> float:
        """How long a lick or the tune lasts, with its count-in."""
        if found:
            return found[0].length_s
        placement = lick.line.placement if lick else None
        bars = self._score.bars
        if placement is not None:
            bars = placement.end - max(placement.start + placement.first - placement.base, 0)
        beats = max(bars, 1) * self._score.tune.meter.beats
        return self.count_in_s((), tempo_bpm) + float(beats * 60 / tempo_bpm)
