"""Holds that have nothing to hold: an `=` after a rest, or at the start of a lick."""

from __future__ import annotations

from reedwright.tune.reading import Reading
from reedwright.tune.values import Bar, Hold, Rest


def check_holds(own: tuple[Bar | None, ...], bars: tuple[Bar, ...], reading: Reading) -> None:
    """Note every run of holds with nothing before it, in the bars a lick wrote itself.

    `own` has None for borrowed bars: what they begin with was written for another lick, and is
    judged where it is placed.
    """
    sounding = False
    ends: dict[int, bool | None] = {}  # by id of a bar: borrowed ones come again and again
    for mine, bar in zip(own, bars, strict=True):
        if mine is not None:
            sounding = _noted(mine, sounding, reading)
            continue
        if id(bar) not in ends:
            ends[id(bar)] = _sounds_at_end(bar)
        end = ends[id(bar)]
        sounding = sounding if end is None else end


def _noted(bar: Bar, sounding: bool, reading: Reading) -> bool:
    """Whether a sound goes on past the bar, holds with nothing to hold being noted."""
    for cell in bar.cells:
        for part in cell.parts:
            if isinstance(part, Hold) and not sounding:
                reading.add(
                    bar.line,
                    part.column,
                    f"bar {bar.number}: a hold with nothing to hold",
                    "= goes on with the sound before it in the same lick",
                    "write . for a rest, or a note",
                )
            sounding = not isinstance(part, Rest)  # after one complaint, a hold holds
    return sounding


def _sounds_at_end(bar: Bar) -> bool | None:
    """Whether a sound goes on past the bar; None for holds only, which change nothing."""
    for cell in reversed(bar.cells):
        for part in reversed(cell.parts):
            if not isinstance(part, Hold):
                return not isinstance(part, Rest)
    return None
