"""The running order: which lick stands where in which chorus.

Conventions: bars of the tune are counted from 0 here (`start`), choruses and bars for people from
1. A tune without a chorus plays its licks one after the other, as written. `check_order` notes
what cannot be placed at all; overlaps and gaps are findings of `place`.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, replace
from difflib import get_close_matches

from reedwright.harp.pitch import shown
from reedwright.tune.licks import FullLick, slug_of
from reedwright.tune.reading import Reading
from reedwright.tune.tune import Tune
from reedwright.tune.values import Chorus, Entry

MAX_PLACED_BARS = 200_000
"""Bars of all choruses together; a lesson has some dozens."""


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
    """Every placement, and where each chorus starts (bar of the tune, from 0) and ends."""

    placements: tuple[Placement, ...]
    chorus_starts: tuple[int, ...]
    bars: int

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
    at = 0
    for chorus in _choruses(tune):
        for _ in range(chorus.times):
            starts.append(at)
            placed = _placed(chorus, len(starts), at, tune)
            placements += placed
            ends = [placement.end - at for placement in placed]
            at += len(tune.form.bars) or max([1, *ends])
    last = max([at, *(placement.end for placement in placements)])
    return Order(tuple(placements), tuple(starts), last)


def _choruses(tune: Tune) -> tuple[Chorus, ...]:
    if tune.text.choruses:
        return tune.text.choruses
    entries: list[Entry] = []
    bar = 1
    for full in tune.licks.values():
        entries.append(Entry(bar, full.lick.name, line=full.lick.line))
        bar += full.last
    length = len(tune.form.bars)
    if not length or bar <= length + 1:
        return (Chorus(tuple(entries)),)
    return _split(entries, length)


def _split(entries: list[Entry], length: int) -> tuple[Chorus, ...]:
    choruses: dict[int, list[Entry]] = {}
    for entry in entries:
        number, bar = divmod(entry.bar - 1, length)
        choruses.setdefault(number, []).append(replace(entry, bar=bar + 1))
    return tuple(Chorus(tuple(choruses.get(n, ()))) for n in range(max(choruses) + 1))


def _placed(chorus: Chorus, number: int, start: int, tune: Tune) -> list[Placement]:
    placements: list[Placement] = []
    for entry in chorus.entries:
        at = start + entry.bar - 1
        if entry.is_rest:
            placements.append(Placement(entry, number, at, 1, entry.times, 1))
            continue
        full = tune.licks[slug_of(entry.lick, tune.licks) or ""]
        first = full.first if entry.from_bar is None else max(entry.from_bar, full.first)
        last = full.last if entry.to_bar is None else entry.to_bar
        base = max(1, first)
        for _ in range(entry.times):
            placements.append(Placement(entry, number, at, first, last, base, full))
            at += max(1, last - base + 1)
    return placements


def check_order(tune: Tune, reading: Reading) -> None:
    """Note every entry that names no lick, a bar outside the form, or a cut outside its lick."""
    if not tune.text.licks:
        reading.add(1, 1, "no lick", "A tune has at least one", "begin one with `Lick Call`")
    for chorus in tune.text.choruses:
        if not chorus.entries:
            reading.add(
                chorus.line,
                1,
                "a chorus with no lick",
                "A chorus lists bars and licks",
                "write it like `1 Call`",
            )
        for entry in chorus.entries:
            _check_entry(entry, tune, reading)
    bars = sum(
        chorus.times * entry.times * _length(entry, tune)
        for chorus in tune.text.choruses
        for entry in chorus.entries
    )
    if bars > MAX_PLACED_BARS:
        reading.add(1, 1, f"{bars} bars in all choruses", f"A tune has at most {MAX_PLACED_BARS}")


def _length(entry: Entry, tune: Tune) -> int:
    full = tune.licks.get(slug_of(entry.lick, tune.licks) or "")
    return len(full.bars) if full else 1


def _suggest(name: str, tune: Tune) -> str:
    close = get_close_matches(name, [lick.name for lick in tune.text.licks], n=1, cutoff=0.5)
    return f"did you mean {close[0]}?" if close else f"begin it with `Lick {name}`"


def _check_entry(entry: Entry, tune: Tune, reading: Reading) -> None:
    length = len(tune.form.bars)
    if entry.bar < 1 or (length and entry.bar > length):
        reading.add(
            entry.line,
            1,
            f"bar {entry.bar} in a form of {length or 'some'} bars",
            "A lick is placed on a bar of the form, from 1",
            "a pickup is bar 0 of the lick itself",
        )
    if entry.is_rest:
        return
    name = slug_of(entry.lick, tune.licks)
    if name is None:
        if not any(
            lick.name == entry.lick for lick in tune.text.licks
        ):  # else its own problem is noted
            reading.add(
                entry.line,
                1,
                f"no lick is named {shown(entry.lick)}",
                "A chorus places licks of the same file",
                _suggest(entry.lick, tune),
            )
        return
    full = tune.licks[name]
    first = full.first if entry.from_bar is None else entry.from_bar
    last = full.last if entry.to_bar is None else entry.to_bar
    inside = min(full.first, 1) <= first <= last <= full.last or (first == 0 and full.first == 1)
    beats = [beat for beat in (entry.from_beat, entry.to_beat) if beat is not None]
    if not inside or not all(1 <= beat <= tune.meter.beats for beat in beats):
        reading.add(
            entry.line,
            1,
            f"a cut outside lick {full.lick.name}",
            f"It has bars {full.first} to {full.last} of {tune.meter.beats} beats",
        )
