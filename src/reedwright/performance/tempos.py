"""One score at several tempos, performed once for each swing ratio.

Conventions: see `values`. At the same swing ratio another tempo only stretches all times, so a
reader multiplies the seconds of a performance it has instead of performing the score anew.
"""

from __future__ import annotations

from fractions import Fraction

from reedwright.performance.perform import check_tempo, perform
from reedwright.performance.values import Performance
from reedwright.tune.place import Score


class Tempos:
    """Performances of one score in its own feel; remembers those it has made."""

    def __init__(self, score: Score) -> None:
        self._score = score
        self._by_ratio: dict[Fraction, Performance] = {}

    def at(self, tempo_bpm: Fraction) -> tuple[Performance, float]:
        """A performance, and how many times longer everything in it lasts at this tempo.

        Errors: SettingError for a tempo nobody can count.
        """
        check_tempo(tempo_bpm)
        ratio = self._score.tune.feel.ratio_at(tempo_bpm)
        if ratio not in self._by_ratio:
            self._by_ratio[ratio] = perform(self._score, tempo_bpm)
        performance = self._by_ratio[ratio]
        return performance, float(performance.tempo_bpm / tempo_bpm)
