"""Licks placed on the form: the events of a tune, and what overlaps or is left empty.

Conventions: see `events`. Where two licks want the same beat the later one cuts the earlier, so
that everything downstream has one line of music; the finding names both by bar and beat.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TypedDict

from reedwright.tune.events import Event
from reedwright.tune.findings import Finding, Severity, spoken_beat
from reedwright.tune.licks import FullLick, LickBar
from reedwright.tune.order import Order, Placement, running_order
from reedwright.tune.tokens import format_sound
from reedwright.tune.tune import Tune
from reedwright.tune.values import Cup, Hold, Loudness, Manner, Part, Rest, Sound

_DEFAULT = Manner(Cup.OPEN, Loudness.MEDIUM)


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

    def bar_start(self, bar: int) -> Fraction:
        """Beat on which a bar of the tune (from 0) starts."""
        return Fraction(bar * self.tune.meter.beats)


@dataclass(slots=True)
class _Draft:
    """A sound being placed; holds make it longer."""

    id: str
    placement: Placement
    sound: Sound
    manner: Manner
    start: Fraction
    end: Fraction
    start_split: int
    end_split: int
    line: int

    def event(self, order: Order, beats: int) -> Event:
        bar = self.start // beats
        chorus, number = order.place_of(bar)
        lick = self.placement.lick
        return Event(
            id=f"{self.id}@{chorus}.{number}",
            lick=lick.lick.name if lick else "",
            chorus=chorus,
            bar=number,
            beat=self.start - bar * beats + 1,
            start=self.start,
            length=self.end - self.start,
            start_split=self.start_split,
            end_split=self.end_split,
            sound=self.sound,
            cup=self.manner.cup or Cup.OPEN,
            loudness=self.manner.loudness or Loudness.MEDIUM,
            line=self.line,
            column=self.sound.column,
        )


def place(tune: Tune) -> Score:
    """Every sound of a tune where it falls. Linear in the parts placed, but for one sort."""
    order = running_order(tune)
    findings: list[Finding] = []
    drafts: list[_Draft] = []
    for placement in order.placements:
        if placement.lick is not None:
            drafts += _Walk(placement, placement.lick, tune, order, findings).drafts()
    drafts.sort(key=lambda draft: draft.start)
    kept = _one_line(drafts, tune, order, findings)
    events = tuple(draft.event(order, tune.meter.beats) for draft in kept)
    findings += _gaps(order, tune)
    findings += _past_the_end(order)
    return Score(tune, order, events, tuple(findings))


class _Walk:
    """Goes through one placed lick, beat by beat."""

    def __init__(
        self,
        placement: Placement,
        lick: FullLick,
        tune: Tune,
        order: Order,
        findings: list[Finding],
    ) -> None:
        self._placement, self._lick, self._order = placement, lick, order
        self._beats = tune.meter.beats
        self._findings = findings
        self._manner = _DEFAULT.then(lick.lick.manner)
        self._sounding: _Draft | None = None
        self._drafts: list[_Draft] = []

    def drafts(self) -> list[_Draft]:
        placement = self._placement
        for number in range(placement.first, placement.last + 1):
            lick_bar = self._lick.bar(number)
            at = (placement.start + number - placement.base) * self._beats
            for beat, cell in enumerate(lick_bar.bar.cells, 1):
                self._manner = self._manner.then(cell.manner)
                if placement.sounds(number, beat):
                    self._cell(lick_bar, beat, cell.parts, at + beat - 1)
        return self._drafts

    def _cell(self, lick_bar: LickBar, beat: int, parts: tuple[Part, ...], at: int) -> None:
        split = len(parts)
        for index, part in enumerate(parts):
            end_split = split if index + 1 < split else 1
            end = at + Fraction(index + 1, split)
            if isinstance(part, Rest):
                self._sounding = None
            elif isinstance(part, Hold):
                self._hold(end, end_split, lick_bar, part, at + Fraction(index, split))
            else:
                self._sounding = _Draft(
                    id=f"{lick_bar.origin}:{lick_bar.bar.number}.{beat}.{index + 1}",
                    placement=self._placement,
                    sound=part,
                    manner=self._manner,
                    start=at + Fraction(index, split),
                    end=end,
                    start_split=split if index else 1,
                    end_split=end_split,
                    line=lick_bar.bar.line,
                )
                self._drafts.append(self._sounding)

    def _hold(
        self, end: Fraction, end_split: int, lick_bar: LickBar, part: Hold, start: Fraction
    ) -> None:
        if self._sounding is not None:
            self._sounding.end, self._sounding.end_split = end, end_split
            return
        found = "a hold with nothing to hold"
        mend = "cut the lick at a note, or begin the bar with . for a rest"
        where = _where(self._order, start, self._beats)
        self._findings.append(
            Finding(
                Severity.WARNING,
                "place",
                found,
                mend,
                lick=self._lick.lick.name,
                line=lick_bar.bar.line,
                column=part.column,
                **where,
            )
        )


class _Where(TypedDict):
    chorus: int
    bar: int
    beat: Fraction


def _where(order: Order, start: Fraction, beats: int) -> _Where:
    bar = start // beats
    chorus, number = order.place_of(bar)
    return {"chorus": chorus, "bar": number, "beat": start - bar * beats + 1}


def _one_line(
    drafts: list[_Draft], tune: Tune, order: Order, findings: list[Finding]
) -> list[_Draft]:
    """The drafts without overlaps: a later sound cuts the one before it."""
    kept: list[_Draft] = []
    for draft in drafts:
        before = kept[-1] if kept else None
        if before is not None and before.end > draft.start:
            findings.append(_overlap(before, draft, order, tune.meter.beats))
            if before.start == draft.start:
                continue
            before.end, before.end_split = draft.start, draft.start_split
        kept.append(draft)
    return kept


def _overlap(before: _Draft, draft: _Draft, order: Order, beats: int) -> Finding:
    first, second = _lick_name(before), _lick_name(draft)
    began = _where(order, before.start, beats)
    here = _where(order, draft.start, beats)
    found = (
        f"{second} begins {format_sound(draft.sound)} while {first} still sounds "
        f"{format_sound(before.sound)} from bar {began['bar']} beat {spoken_beat(began['beat'])}"
    )
    mend = (
        f"end {first} earlier with a rest or `to bar … beat …`, or drop the pickup with "
        "`from bar 1`"
    )
    return Finding(
        Severity.ERROR,
        "place",
        found,
        mend,
        id=draft.id,
        lick=second,
        line=draft.line,
        column=draft.sound.column,
        **here,
    )


def _lick_name(draft: _Draft) -> str:
    return draft.placement.lick.lick.name if draft.placement.lick else ""


def _gaps(order: Order, tune: Tune) -> list[Finding]:
    """Runs of bars in which nothing is placed, not even a rest."""
    filled = bytearray(order.bars)
    for placement in order.placements:
        for bar in range(max(0, placement.start), placement.end):
            filled[bar] = 1
    findings: list[Finding] = []
    for chorus, start in enumerate(order.chorus_starts, 1):
        end = order.chorus_end(chorus)
        bar = start
        while bar < end:
            run = bar
            while run < end and not filled[run]:
                run += 1
            if run > bar:
                findings.append(_gap(chorus, bar - start + 1, run - start, tune))
            bar = max(run, bar + 1)
    return findings


def bars_word(bars: int) -> str:
    """`1 bar`, `2 bars`."""
    return f"{bars} bar{'s' * (bars != 1)}"


def _gap(chorus: int, first: int, last: int, tune: Tune) -> Finding:
    several = last > first
    bars = f"bars {first} to {last}" if several else f"bar {first}"
    length = f", {last - first + 1} bars" * several
    blocks = tune.text.choruses
    return Finding(
        Severity.WARNING,
        "place",
        f"nothing is placed in {bars}",
        f"place a lick there, or write `{first} rest{length}`",
        chorus=chorus,
        bar=first,
        beat=Fraction(1),
        line=blocks[0].line if len(blocks) == 1 else 0,
    )


def _past_the_end(order: Order) -> list[Finding]:
    """Licks that run out of their chorus into the next one."""
    findings: list[Finding] = []
    for placement in order.placements:
        end = order.chorus_end(placement.chorus)
        if placement.end > end and placement.chorus < len(order.chorus_starts):
            name = placement.lick.lick.name if placement.lick else "the rest"
            findings.append(
                Finding(
                    Severity.ERROR,
                    "place",
                    f"{name} runs {bars_word(placement.end - end)} past the end of chorus "
                    f"{placement.chorus}",
                    "cut it with `to bar …`, or place it earlier",
                    chorus=placement.chorus,
                    lick=name,
                    bar=placement.entry.bar,
                    beat=Fraction(1),
                    line=placement.entry.line,
                )
            )
    return findings
