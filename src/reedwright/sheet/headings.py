"""What stands over the bars: choruses, names of licks, remarks, chords, changes of manner.

Conventions: bars of the tune count from 0 (−1: the pickup). A lick is named over its bar 1, or over
the first note of its pickup; its remarks stand where it is played first. Cup and loudness are open
and medium until said otherwise.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from reedwright.sheet.rhythm import NotatedBar
from reedwright.tune.chords import Chord
from reedwright.tune.events import Event
from reedwright.tune.order import Placement
from reedwright.tune.place import Score
from reedwright.tune.values import Cup, Loudness


@dataclass(frozen=True, slots=True)
class Heading:
    """What stands over one bar. `chorus` is its number where one of several begins, else 0."""

    chorus: int = 0
    licks: tuple[str, ...] = ()
    remarks: tuple[tuple[str, str], ...] = ()
    """Pairs of lick and words."""


@dataclass(frozen=True, slots=True)
class Change:
    """Cup or loudness that changes with an event; None where it stays."""

    cup: Cup | None
    loudness: Loudness | None

    @property
    def words(self) -> str:
        """`cup closed, loud`."""
        said = [f"cup {self.cup}"] if self.cup else []
        return ", ".join([*said, *([str(self.loudness)] if self.loudness else [])])


def headings(score: Score) -> dict[int, Heading]:
    """Headings by bar; bars without one are left out."""
    choruses: dict[int, int] = {}
    licks: dict[int, list[str]] = {}
    remarks: dict[int, list[tuple[str, str]]] = {}
    starts = score.order.chorus_starts
    if len(starts) > 1:
        choruses = {bar: number for number, bar in enumerate(starts, 1)}
    if chorus_with_pickup(score):
        del choruses[0]
    seen: set[str] = set()
    before: Placement | None = None
    over_pickups = set(pickup_names(score).values())
    for placement in score.order.placements:
        if placement.lick is None:
            continue
        lick = placement.lick.lick
        bar = min(placement.start, max(score.bars - 1, 0))
        if not _again(placement, before) and (bar, _name(placement)) not in over_pickups:
            licks.setdefault(bar, []).append(_name(placement))
        if lick.name not in seen:
            seen.add(lick.name)
            remarks.setdefault(bar, []).extend((lick.name, text) for text in lick.remarks)
        before = placement
    return {
        bar: Heading(choruses.get(bar, 0), tuple(licks.get(bar, ())), tuple(remarks.get(bar, ())))
        for bar in sorted({*choruses, *licks, *remarks})
    }


def pickup_names(score: Score) -> dict[int, tuple[int, str]]:
    """Bar 1 and name of each lick that begins with a pickup, by index of its first event.

    A pickup whose sounds are cut or silent has none: its lick is named over its bar 1.
    """
    beats = score.tune.meter.beats
    starts = [event.start for event in score.events]
    found: dict[int, tuple[int, str]] = {}
    before: Placement | None = None
    for placement in score.order.placements:
        lick, again = placement.lick, _again(placement, before)
        before = placement
        if lick is None or again or placement.first >= placement.base:
            continue
        low, high = ((placement.start - back) * beats for back in (1, 0))
        inside = range(bisect_left(starts, low), bisect_left(starts, high))
        own = (at for at in inside if score.events[at].lick == lick.lick.name)
        first = next(own, None)
        if first is not None:
            found.setdefault(first, (placement.start, _name(placement)))
    return found


def chorus_with_pickup(score: Score) -> bool:
    """Whether `Chorus 1` stands over the tune's pickup, beside its lick's name."""
    several = len(score.order.chorus_starts) > 1
    return several and bool(score.events) and score.events[0].start < 0 and 0 in pickup_names(score)


def said_with_name(bar: NotatedBar, heading: Heading, names: Mapping[int, object]) -> int:
    """The event whose change of manner stands beside the name over its bar, −1 for none: the first
    after the rest with which the bar of a name begins. `names`: as in `pickup_names`."""
    if not heading.licks or not bar.pieces[0].rest:
        return -1
    first = next((bar.events[piece.span] for piece in bar.pieces if not piece.rest), -1)
    return -1 if first in names else first


def _again(placement: Placement, before: Placement | None) -> bool:
    """Whether this is the same entry of the same chorus once more."""
    return (
        before is not None and placement.entry is before.entry and placement.chorus == before.chorus
    )


def _name(placement: Placement) -> str:
    name = placement.lick.lick.name if placement.lick else ""
    times = placement.entry.times
    return f"{name}, {times} times" if times > 1 else name


def changes(events: tuple[Event, ...]) -> dict[int, Change]:
    """Changes of manner by index of the event they come with."""
    found: dict[int, Change] = {}
    cup, loudness = Cup.OPEN, Loudness.MEDIUM
    for index, event in enumerate(events):
        if event.cup is not cup or event.loudness is not loudness:
            found[index] = Change(
                event.cup if event.cup is not cup else None,
                event.loudness if event.loudness is not loudness else None,
            )
            cup, loudness = event.cup, event.loudness
    return found


def chord_changes(score: Score, bar: int, before: Chord | None) -> list[tuple[Fraction, Chord]]:
    """(beat from 0, chord) where the chord of a bar differs from the one before; none in a pickup.

    Pass None as `before` to have the first chord of the bar said in any case.
    """
    if bar < 0:
        return []
    found: list[tuple[Fraction, Chord]] = []
    for span in score.tune.form.spans(score.order.place_of(bar)[1]):
        if span.chord != before:
            found.append((span.start, span.chord))
            before = span.chord
    return found
