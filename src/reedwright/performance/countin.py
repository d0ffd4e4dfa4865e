"""Clicks: those of the count-in, which announce a pickup, and those of a whole tune.

Conventions: exact times (`score_s`), nothing human about them; `beat` counts from 1 inside its bar.
The first click of all is the opening sound, which occurs nowhere else, so that a recording can be
lined up with it. A pickup is announced by a click of its own kind where it comes in: on a beat in
place of that beat's click, off the beat as one more. Only the very first pickup is announced.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from reedwright.errors import Problem, SettingError
from reedwright.performance.playing import Click, ClickKind
from reedwright.performance.values import Performance

MOST_BARS_AFTER = 128
"""More bars of clicks after the end than a form can have is a slip of the pen."""


def count_in(performance: Performance) -> tuple[Click, ...]:
    """The clicks before bar 1, in order of time."""
    return tuple(clicks(performance, performance.count_in_beats, _pickup(performance)))


def click_track(performance: Performance, bars_after: int = 0) -> tuple[Click, ...]:
    """The count-in, a click on every beat of the tune, and of some bars after it.

    Errors: SettingError for less than no bars, or more than a form can have.
    """
    if not 0 <= bars_after <= MOST_BARS_AFTER:
        raise SettingError(
            Problem(
                found=f"{bars_after} bars of clicks after the end",
                rule=f"There are 0 to {MOST_BARS_AFTER}",
                mend="choose a number in that range",
            )
        )
    beats = performance.score.tune.meter.beats
    end = performance.length_beats + bars_after * beats
    return tuple(clicks(performance, end, _pickup(performance)))


def clicks(performance: Performance, end: int, pickup: Fraction | None) -> Iterator[Click]:
    """A click on every beat before `end`, and one where a pickup comes in; both counted in beats
    from the start of the count-in."""
    beats = performance.score.tune.meter.beats
    for beat in range(end):
        number = beat % beats + 1
        kind = ClickKind.BEAT if number > 1 else ClickKind.BAR
        if beat == 0:
            kind = ClickKind.OPENING
        elif beat == pickup:
            kind = ClickKind.PICKUP
        yield Click(kind, number, performance.seconds(beat))
        if pickup is not None and beat < pickup < beat + 1:
            yield Click(ClickKind.PICKUP, number, performance.seconds(pickup))


def _pickup(performance: Performance) -> Fraction | None:
    """Where the first pickup comes in, in beats from the start; None without one."""
    if not performance.score.has_pickup:
        return None
    return performance.events[0].onset_beats
