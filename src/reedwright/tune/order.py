"""The running order: which lick stands where in which chorus.

Conventions: bars of the tune are counted from 0 here (`start`), choruses and bars for people from
1. A tune without a chorus plays its licks one after the other, as written. `check_order` (in
`ordercheck`) notes what cannot be placed at all; overlaps and gaps are findings of `place`.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, replace

from reedwright.tune.licks import FullLick, slug_of
from reedwright.tune.tune import Tune
from reedwright.tune.values import Chorus, Entry


@dataclass(frozen=True, slots=True)
class Placement:
    """One lick (or rest) as placed: `start` is the bar of the tune, from 0, on which lick bar
    `base` falls; lick bars `first` to `last` sound, less the beats cut at both ends."""

    entry: Entry
    chorus: int
    start: int
    first: int
    last: int
    base: int
    lick: FullLick | None = None

    @property
    def end(self) -> int:
        """The bar of the tune after its last one."""
        return self.start + self.last - self.base + 1

    def sounds(self, bar: int, beat: int) -> bool:
        """Whether a beat (from 1) of a lick bar is left in by the cuts."""
        cut = self.entry
        if bar == self.first and cut.from_beat is not None and beat < cut.from_beat:
            return False
        return not (bar == self.last and cut.to_beat is not None and beat > cut.to_beat)


@dataclass(frozen=True, slots=True)
class Order:
    """Every placement, and where each chorus starts (bar of the tune, from 0) and ends.

    `chorus_lines`: the line each chorus was written in; 0 where the tune has no chorus line.
    """

    placements: tuple[Placement, ...]
    chorus_starts: tuple[int, ...]
    bars: int
    chorus_lines: tuple[int, ...] = ()

    def chorus_end(self, chorus: int) -> int:
        return self.chorus_starts[chorus] if chorus < len(self.chorus_starts) else self.bars

    def place_of(self, bar: int) -> tuple[int, int]:
        """Chorus and bar, as people count, of a bar of the tune; before the start, 1 and 0."""
        if bar < 0:
            return 1, 0
        chorus = bisect_right(self.chorus_starts, bar)
        return chorus, bar - self.chorus_starts[chorus - 1] + 1


def running_order(tune: Tune) -> Order:
    """The placements of a tune, chorus by chorus."""
    placements: list[Placement] = []
    starts: list[int] = []
    lines: list[int] = []
    at = 0
    for chorus in choruses(tune):
        length = chorus_bars(chorus, tune)
        for _ in range(chorus.times):
            starts.append(at)
            lines.append(chorus.line)
            placements += _placed(chorus, len(starts), at, tune)
            at += length
    last = max([at, *(placement.end for placement in placements)])
    return Order(tuple(placements), tuple(starts), last, tuple(lines))


def choruses(tune: Tune) -> tuple[Chorus, ...]:
    """The choruses as written, or the licks in a row on as many as they need."""
    if tune.text.choruses:
        return tune.text.choruses
    entries: list[Entry] = []
    bar = 1
    for full in tune.licks.values():
        entries.append(Entry(bar, full.lick.name, line=full.lick.line, column=full.lick.column))
        bar += full.last
    return _split(entries, len(tune.form.bars) or bar)


def _split(entries: list[Entry], length: int) -> tuple[Chorus, ...]:
    parts: dict[int, list[Entry]] = {}
    for entry in entries:
        number, bar = divmod(entry.bar - 1, length)
        parts.setdefault(number, []).append(replace(entry, bar=bar + 1))
    return tuple(Chorus(tuple(parts.get(n, ()))) for n in range(max(parts, default=0) + 1))


def chorus_bars(chorus: Chorus, tune: Tune) -> int:
    """Bars of one time through a chorus: those of the form, or up to where its licks end."""
    if tune.form.bars:
        return len(tune.form.bars)
    return max([1, *(ends_before(entry, tune) - 1 for entry in chorus.entries)])


def ends_before(entry: Entry, tune: Tune) -> int:
    """The bar of the chorus after the last one of an entry, all its repeats placed."""
    if entry.is_rest:
        return entry.bar + entry.times
    full = tune.licks.get(slug_of(entry.lick, tune.licks) or "")
    if full is None:
        return entry.bar
    _, last, base = _cut(entry, full)
    bars = last - base + 1
    return entry.bar + (entry.times - 1) * max(1, bars) + bars


def _cut(entry: Entry, full: FullLick) -> tuple[int, int, int]:
    """First and last bar of a lick that sound, and the one that falls on the entry's bar."""
    first = full.first if entry.from_bar is None else max(entry.from_bar, full.first)
    last = full.last if entry.to_bar is None else entry.to_bar
    return first, last, max(1, first)


def _placed(chorus: Chorus, number: int, start: int, tune: Tune) -> Iterator[Placement]:
    for entry in chorus.entries:
        at = start + entry.bar - 1
        if entry.is_rest:
            yield Placement(entry, number, at, 1, entry.times, 1)
            continue
        full = tune.licks[slug_of(entry.lick, tune.licks) or ""]
        first, last, base = _cut(entry, full)
        for _ in range(entry.times):
            yield Placement(entry, number, at, first, last, base, full)
            at += max(1, last - base + 1)
