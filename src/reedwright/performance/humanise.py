"""When a player really begins each note: small shifts in time, the same for the same seed.

Conventions: seconds, late is positive. A shift is a slow wander, smooth from bar line to bar line
and drawn from (seed, chorus, bar), plus a jitter drawn from (seed, event id): nothing runs on from
note to note, so an edit shifts no other note. It never exceeds the just noticeable displacement of
an eighth at the tempo (6 ms, above 240 ms 2.5 %: Friberg & Sundberg 1995) times `human`, nor a
quarter of the way to either neighbour, so notes keep their order.
"""

from __future__ import annotations

import hashlib
from math import cos, isfinite, log, pi, sqrt, tau
from struct import Struct

from reedwright.errors import Problem, SettingError
from reedwright.performance.habits import DRIFT, JITTER, JND_S, JND_SHARE, MOST_HUMAN
from reedwright.performance.values import Performance, TimedEvent

_WORD = 1 << 64
_WORDS = Struct(">4Q")
_NEAREST = 0.25  # share of the way to a neighbour that a note may move: half of it stays


def uniform(key: str) -> tuple[float, float, float, float]:
    """Four numbers above 0 and at most 1 from a text: always the same ones."""
    one, two, three, four = _WORDS.unpack(hashlib.sha256(key.encode()).digest())
    return (one + 1) / _WORD, (two + 1) / _WORD, (three + 1) / _WORD, (four + 1) / _WORD


def spread(key: str) -> float:
    """A number around 0 with a standard deviation of 1 from a text (Box and Muller's formula)."""
    radius, angle, _, _ = uniform(key)
    return sqrt(-2.0 * log(radius)) * cos(tau * angle)


def check_human(human: float) -> None:
    """Errors: SettingError for a looseness no player has."""
    if not isfinite(human) or not 0 <= human <= MOST_HUMAN:
        raise SettingError(
            Problem(
                found=f"human timing {human:g}",
                rule=f"It lies between 0 (exactly as written) and {MOST_HUMAN:g} (1 is usual)",
                mend="choose a number in that range",
            )
        )


def noticeable_s(beat_s: float) -> float:
    """The just noticeable displacement of a note in a pulse of half beats."""
    return max(JND_S, JND_SHARE * beat_s / 2)


class Shifts:
    """How far each event of a performance is played from its exact time."""

    def __init__(self, performance: Performance, seed: int, human: float) -> None:
        check_human(human)
        self._order = performance.score.order
        self._beats = performance.score.tune.meter.beats
        self._seed, self._human = seed, human
        self._jnd_s = noticeable_s(performance.seconds(1))
        self._by_bar: dict[int, float] = {}

    def shift_s(self, timed: TimedEvent, room_s: float) -> float:
        """`room_s`: seconds to the nearer of the neighbours."""
        if not self._human:
            return 0.0
        loose = DRIFT * self._drift(timed) + JITTER * spread(f"{self._seed}|{timed.event.id}|time")
        limit_s = min(self._jnd_s * self._human, _NEAREST * room_s)
        return max(-limit_s, min(limit_s, loose * self._jnd_s * self._human))

    def _drift(self, timed: TimedEvent) -> float:
        """Between the values of two bar lines along half a cosine: no corner at a bar line."""
        bar, inside = divmod(timed.event.start, self._beats)
        before, after = self._at_bar(bar), self._at_bar(bar + 1)
        return before + (after - before) * (1 - cos(pi * float(inside) / self._beats)) / 2

    def _at_bar(self, bar: int) -> float:
        if bar not in self._by_bar:
            chorus, number = self._order.place_of(bar)
            self._by_bar[bar] = spread(f"{self._seed}|{chorus}.{number}|drift")
        return self._by_bar[bar]
