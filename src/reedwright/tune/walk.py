"""One line of music from the licks of a running order.

Conventions: time in ticks (see `ticks`) from the first beat of bar 1 of the first chorus. Each
lick is laid out once, bar by bar, and then only moved to where it is placed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from reedwright.tune.events import Event
from reedwright.tune.licks import FullLick
from reedwright.tune.marks import Cup, Loudness, Manner
from reedwright.tune.order import Order, Placement
from reedwright.tune.ticks import TICKS, beats_of
from reedwright.tune.values import Hold, Part, Rest, Sound

START_MANNER = Manner(Cup.OPEN, Loudness.MEDIUM)
"""How a lick is played that says nothing of it."""


@dataclass(slots=True)  # not frozen: made by the thousand, and seen by nobody outside
class _Step:
    """One part of a written bar: from `start` to `end` in ticks of that bar."""

    part: Part
    manner: Manner
    start: int
    end: int
    start_split: int
    end_split: int
    beat: int
    id: str
    line: int


@dataclass(slots=True)
class Draft:
    """A sound being placed; holds make it longer, a later sound shorter."""

    step: _Step
    sound: Sound
    placement: Placement
    start: int
    end: int
    end_split: int

    @property
    def name(self) -> str:
        """Of the lick it belongs to."""
        return self.placement.lick.lick.name if self.placement.lick else ""

    def event(self, order: Order, bar_ticks: int) -> Event:
        bar, inside = divmod(self.start, bar_ticks)
        chorus, number = order.place_of(bar)
        step = self.step
        return Event(
            id=f"{step.id}@{chorus}.{number}",
            lick=self.name,
            chorus=chorus,
            bar=number,
            beat=beats_of(inside + TICKS),
            start=beats_of(self.start),
            length=beats_of(self.end - self.start),
            start_split=step.start_split,
            end_split=self.end_split,
            sound=self.sound,
            cup=step.manner.cup or Cup.OPEN,
            loudness=step.manner.loudness or Loudness.MEDIUM,
            line=step.line,
            column=self.sound.column,
        )


@dataclass(frozen=True, slots=True)
class LostHold:
    """A hold whose sound a cut has taken away, at a tick of the tune."""

    placement: Placement
    at: int
    line: int
    column: int


def drafts_of(order: Order, beats: int) -> tuple[list[Draft], list[LostHold]]:
    """Every sound of every placement in the order of time, and the holds that hold nothing."""
    laid: dict[int, list[list[_Step]]] = {}  # by id of the lick, which the order keeps alive
    drafts: list[Draft] = []
    lost: list[LostHold] = []
    for placement in order.placements:
        lick = placement.lick
        if lick is not None:
            if id(lick) not in laid:
                laid[id(lick)] = _laid_out(lick)
            _walk(placement, lick, laid[id(lick)], beats * TICKS, (drafts, lost))
    drafts.sort(key=lambda draft: draft.start)
    return drafts, lost


def _walk(
    placement: Placement,
    lick: FullLick,
    bars: list[list[_Step]],
    bar_ticks: int,
    found: tuple[list[Draft], list[LostHold]],
) -> None:
    drafts, lost = found
    last: Draft | None = None
    complained = False
    for number in range(placement.first, placement.last + 1):
        at = (placement.start + number - placement.base) * bar_ticks
        for step in _left_in(placement, number, bars[number - lick.first]):
            part = step.part
            if isinstance(part, Sound):
                last = Draft(step, part, placement, at + step.start, at + step.end, step.end_split)
                drafts.append(last)
            elif isinstance(part, Rest):
                last = None
            elif last is not None:
                last.end, last.end_split = at + step.end, step.end_split
            elif not complained:
                lost.append(LostHold(placement, at + step.start, step.line, part.column))
                complained = True


def _left_in(placement: Placement, number: int, steps: list[_Step]) -> list[_Step]:
    """The parts of a bar that the cuts at both ends leave in."""
    if placement.first < number < placement.last:
        return steps
    cut = placement.entry
    if cut.from_beat is None and cut.to_beat is None:
        return steps
    return [step for step in steps if placement.sounds(number, step.beat)]


def _laid_out(lick: FullLick) -> list[list[_Step]]:
    manner = START_MANNER.then(lick.lick.manner)
    bars: list[list[_Step]] = []
    for lick_bar in lick.bars:
        bar = lick_bar.bar
        steps: list[_Step] = []
        for beat, cell in enumerate(bar.cells, 1):
            if cell.manner.cup or cell.manner.loudness:
                manner = manner.then(cell.manner)
            cell_id = f"{lick_bar.origin}:{bar.number}.{beat}"
            steps += _steps(cell.parts, manner, beat, (cell_id, bar.line))
        bars.append(steps)
    return bars


def _steps(
    parts: tuple[Part, ...], manner: Manner, beat: int, origin: tuple[str, int]
) -> Iterator[_Step]:
    split = len(parts)
    ticks = TICKS // split
    start = (beat - 1) * TICKS
    for index, part in enumerate(parts, 1):
        yield _Step(
            part=part,
            manner=manner,
            start=start,
            end=start + ticks,
            start_split=split if index > 1 else 1,
            end_split=split if index < split else 1,
            beat=beat,
            id=f"{origin[0]}.{index}" if not isinstance(part, Rest | Hold) else "",
            line=origin[1],
        )
        start += ticks
