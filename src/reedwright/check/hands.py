"""Where mouth and breath are for each event, and the hard moves between them at one tempo.

Conventions: a `Stance` is what an event asks of the mouth; times in seconds at one tempo, swung,
one entry for each event. A `Move` stands at the event that it leads to. Each detector is one pass
over the events; every threshold is in `limits`. Source: common practice for what is hard, from
memory for how hard.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from reedwright.check.limits import MoveLimits
from reedwright.harp.note import Breath
from reedwright.tune.values import Sound


class MoveKind(StrEnum):
    """Kinds of hard move."""

    JUMP = "jump"
    TURNS = "turns"
    CHANGES = "changes"
    BEND_LEAP = "bend leap"
    BEND_RUN = "bend run"


@dataclass(frozen=True, slots=True)
class Stance:
    """The holes a sound covers, its breath, and whether it is bent (or overbent)."""

    low: int
    high: int
    breath: Breath
    bent: bool

    def holes_from(self, before: Stance) -> int:
        """Holes the mouth crosses to get here: none where the two overlap."""
        return max(0, self.low - before.high, before.low - self.high)


@dataclass(frozen=True, slots=True)
class Move:
    """`index`: the event; `holes` crossed; `measure`: seconds for it, or times per second;
    `count`: notes of a run."""

    kind: MoveKind
    index: int
    measure: float
    holes: int = 0
    count: int = 0


def stance(sound: Sound) -> Stance:
    """What a sound asks of the mouth."""
    holes = [note.hole for note in sound.reeds]
    bent = any(note.bend or note.over for note in sound.reeds)
    return Stance(min(holes), max(holes), sound.breath, bent)


def hard_moves(
    stances: Sequence[Stance], onsets_s: Sequence[float], bounds: MoveLimits
) -> Iterator[Move]:
    """Every move past a threshold at one tempo."""
    yield from _leaps(stances, onsets_s, bounds)
    yield from _bend_runs(stances, onsets_s, bounds)
    turned = [i for i in range(1, len(stances)) if stances[i].breath is not stances[i - 1].breath]
    changed = [i for i in range(1, len(stances)) if stances[i].holes_from(stances[i - 1])]
    turns = (bounds.turns_per_s, bounds.turns_window_s)
    changes = (bounds.changes_per_s, bounds.changes_window_s)
    yield from _busy(MoveKind.TURNS, turned, onsets_s, *turns)
    yield from _busy(MoveKind.CHANGES, changed, onsets_s, *changes)


def _leaps(
    stances: Sequence[Stance], onsets_s: Sequence[float], bounds: MoveLimits
) -> Iterator[Move]:
    """Jumps, and bends come to by a leap; of one move, the leap to a bend is told."""
    for index in range(1, len(stances)):
        holes = stances[index].holes_from(stances[index - 1])
        if holes < bounds.jump_holes and holes < bounds.bend_leap_holes:
            continue
        time_s = onsets_s[index] - onsets_s[index - 1]
        to_bend = stances[index].bent and holes >= bounds.bend_leap_holes
        if to_bend and time_s < bounds.bend_leap_within_s:
            yield Move(MoveKind.BEND_LEAP, index, time_s, holes)
        elif holes >= bounds.jump_holes and holes > time_s * bounds.jump_holes_per_s:
            yield Move(MoveKind.JUMP, index, time_s, holes)


def _bend_runs(
    stances: Sequence[Stance], onsets_s: Sequence[float], bounds: MoveLimits
) -> Iterator[Move]:
    """Runs of bent notes, each soon after the last; the move stands at the first."""
    first = 0
    for index in range(1, len(stances) + 1):
        goes_on = (
            index < len(stances)
            and stances[index].bent
            and stances[index - 1].bent
            and onsets_s[index] - onsets_s[index - 1] < bounds.bend_run_within_s
        )
        if goes_on:
            continue
        count = index - first
        if count >= bounds.bend_run_notes and stances[first].bent:
            apart_s = (onsets_s[index - 1] - onsets_s[first]) / (count - 1)
            yield Move(MoveKind.BEND_RUN, first, apart_s, count=count)
        first = index


def _busy(
    kind: MoveKind, at: Sequence[int], onsets_s: Sequence[float], per_s: float, window_s: float
) -> Iterator[Move]:
    """Stretches in which something happens more than `per_s` times a second over the window.

    One move for each stretch, at the event where its window begins, with the busiest rate in it.
    """
    tail = 0
    began, peak = -1, 0
    for head, index in enumerate(at):
        while onsets_s[index] - onsets_s[at[tail]] >= window_s:
            tail += 1
        count = head - tail + 1
        if count > per_s * window_s:
            began, peak = (at[tail], count) if began < 0 else (began, max(peak, count))
        elif began >= 0 and onsets_s[at[tail]] - onsets_s[began] >= window_s:
            yield Move(kind, began, peak / window_s)
            began, peak = -1, 0
    if began >= 0:
        yield Move(kind, began, peak / window_s)
