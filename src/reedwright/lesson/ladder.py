"""The tempos to practise at, from slow to full.

Conventions: counted beats a minute; whole ones, but for tempos the teacher wrote. A tune that names
two tempos or more is practised at those. Otherwise its one tempo (or the usual one) is the last
step, and the first is the fastest at which what tempo makes hard (leaps, speed, breath) is at most
`start` points, no slower than `slowest` of the full tempo; between them equal ratios, each at most
`step`, in at most `most` tempos. An easy tune has one tempo.
Source: a ladder of tempos is custom, not proven: the pattern of tempos had no significant effect in
one study (Henley, JRME 2001); the numbers are from memory (`data/lesson.toml`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from reedwright.lesson.demands import Asking, Demands
from reedwright.lesson.difficulty import difficulty_at
from reedwright.lesson.settings import LessonTable
from reedwright.tune.meter import TEMPO_LIMITS_BPM
from reedwright.tune.place import Score
from reedwright.tune.tune import Tune


@dataclass(frozen=True, slots=True)
class Step:
    """One tempo and how hard the tune is at it, 0 to 100."""

    tempo_bpm: Fraction
    number: float


@dataclass(frozen=True, slots=True)
class TempoLadder:
    """Tempos that rise to the full one. `own`: the tune names them."""

    steps: tuple[Step, ...]
    own: bool

    @property
    def tempos_bpm(self) -> tuple[Fraction, ...]:
        return tuple(step.tempo_bpm for step in self.steps)


def tempo_ladder(score: Score, table: LessonTable | None = None) -> TempoLadder:
    """The tempos for a whole tune. Errors: SettingError for faults in a teacher's own table."""
    asking = Asking(score.tune, table)
    return ladder_for(score.tune, asking.of(score.events), asking.table)


def ladder_for(tune: Tune, demands: Demands, table: LessonTable) -> TempoLadder:
    """The tempos for a run of notes of a tune."""
    own = len(tune.tempos_bpm) > 1
    tempos = tune.tempos_bpm if own else proposed(demands, tune.full_tempo_bpm, table)
    steps = (Step(tempo, difficulty_at(demands, tempo, table).number) for tempo in tempos)
    return TempoLadder(tuple(steps), own)


def proposed(demands: Demands, full_bpm: Fraction, table: LessonTable) -> tuple[Fraction, ...]:
    """Tempos to practise a run of notes at, the last being the full one."""
    weights = table["ladder"]
    slow_bpm = _slow(demands, full_bpm, table)
    if slow_bpm >= full_bpm:
        return (full_bpm,)
    ratio = float(full_bpm / slow_bpm)
    rises = math.ceil(math.log(ratio) / math.log(weights["step"]) - 1e-9)  # a hair for rounding
    rises = max(1, min(rises, int(weights["most"]) - 1))
    between = (round(float(slow_bpm) * ratio ** (k / rises)) for k in range(rises))
    rising = sorted({Fraction(max(tempo, TEMPO_LIMITS_BPM[0])) for tempo in between})
    return (*(tempo for tempo in rising if tempo < full_bpm), full_bpm)


def _slow(demands: Demands, full_bpm: Fraction, table: LessonTable) -> Fraction:
    """The fastest whole tempo that is slow enough to start at, or the full one; by halving, since
    no part ever falls as the tempo rises."""
    weights = table["ladder"]

    def slow_enough(tempo_bpm: Fraction) -> bool:
        return difficulty_at(demands, tempo_bpm, table).paced_points <= weights["start"]

    if int(weights["most"]) < 2 or slow_enough(full_bpm):
        return full_bpm
    low = max(math.ceil(float(full_bpm) * weights["slowest"]), TEMPO_LIMITS_BPM[0])
    high = math.ceil(full_bpm)  # too fast
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if slow_enough(Fraction(middle)) else (low, middle)
    return Fraction(low)
