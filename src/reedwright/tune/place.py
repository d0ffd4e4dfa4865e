"""Licks placed on the form: the events of a tune, and what overlaps or is left empty.

Conventions: see `events`. Where two licks want the same beat the later sound cuts the earlier, so
that everything downstream has one line of music; of two that begin together, the one placed first
stays. The finding names both by bar and beat.
"""

from __future__ import annotations

from dataclasses import dataclass

from reedwright.tune.events import Event
from reedwright.tune.findings import Finding
from reedwright.tune.order import Order, running_order
from reedwright.tune.placefindings import Places
from reedwright.tune.ticks import TICKS
from reedwright.tune.tune import Tune
from reedwright.tune.walk import Draft, drafts_of


@dataclass(frozen=True, slots=True)
class Score:
    """A tune with its events in order of time, its running order, and the findings of placing.

    `bars` counts whole bars from bar 1 of the first chorus, an ending past the form included.
    """

    tune: Tune
    order: Order
    events: tuple[Event, ...]
    findings: tuple[Finding, ...]

    @property
    def bars(self) -> int:
        return self.order.bars

    @property
    def has_pickup(self) -> bool:
        return bool(self.events) and self.events[0].start < 0


def place(tune: Tune) -> Score:
    """Every sound of a tune where it falls. Linear in the parts placed, but for one sort."""
    order = running_order(tune)
    places = Places(tune, order)
    drafts, lost = drafts_of(order, tune.meter.beats)
    findings = [places.lost_hold(hold) for hold in lost]
    kept = _one_line(drafts, places, findings)
    bar_ticks = tune.meter.beats * TICKS
    events = tuple(draft.event(order, bar_ticks) for draft in kept)
    findings += places.gaps()
    findings += places.past_the_end()
    return Score(tune, order, events, tuple(findings))


def _one_line(drafts: list[Draft], places: Places, findings: list[Finding]) -> list[Draft]:
    """The drafts, which come in the order of their starts, without overlaps: a later sound cuts the
    one before it; one that begins with it is dropped.

    Two licks that run into each other are told once, at the first beat where they do.
    """
    kept: list[Draft] = []
    told: set[tuple[int, int]] = set()
    for draft in drafts:
        before = kept[-1] if kept else None
        if before is not None and before.end > draft.start:
            pair = (id(before.placement), id(draft.placement))
            if pair not in told:
                told.add(pair)
                findings.append(places.overlap(before, draft))
            if before.start == draft.start:
                continue
            before.end, before.end_split = draft.start, draft.step.start_split
        kept.append(draft)
    return kept
