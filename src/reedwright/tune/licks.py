"""Licks resolved: every bar of every lick with its cells, borrowed bars filled in.

Borrowing may go through any number of licks (without recursion here) but not in a circle.
Problems are collected in the reading, with the line they come from.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from reedwright.harp.pitch import shown
from reedwright.tune.holds import check_holds
from reedwright.tune.reading import Reading, nearest
from reedwright.tune.values import Bar, Borrow, Lick, TuneText, slug

MAX_LICK_BARS = 100_000
"""Bars of all licks together, borrowed ones counted where they are filled in."""


@dataclass(frozen=True, slots=True)
class LickBar:
    """A bar of a lick and where it was written: `origin` is the slug of that lick."""

    origin: str
    bar: Bar


@dataclass(frozen=True, slots=True)
class FullLick:
    """A lick with all its bars: `bars[0]` is bar `first` (0 with a pickup, else 1)."""

    lick: Lick
    first: int
    bars: tuple[LickBar, ...]

    @property
    def last(self) -> int:
        return self.first + len(self.bars) - 1

    def bar(self, number: int) -> LickBar:
        return self.bars[number - self.first]


def full_licks(text: TuneText, reading: Reading) -> dict[str, FullLick]:
    """Every lick of a file by slug, in the order written, without those that cannot be whole."""
    licks = _by_slug(text, reading)
    filler = _Filler(licks, reading)
    for name in licks:
        filler.resolve(name)
    done = {name: filler.done[name] for name in licks if name in filler.done}
    for name, full in done.items():
        own = (lick_bar.bar if lick_bar.origin == name else None for lick_bar in full.bars)
        check_holds(tuple(own), tuple(lick_bar.bar for lick_bar in full.bars), reading)
    return done


def _by_slug(text: TuneText, reading: Reading) -> dict[str, Lick]:
    licks: dict[str, Lick] = {}
    for lick in text.licks:
        if not lick.name:
            continue  # noted when it was read
        if not lick.slug:
            reading.add(
                lick.line,
                lick.column,
                f"lick {shown(lick.name)} has no letter or figure of plain ASCII",
                "Files and ids are named after licks",
                "add a plain word to the name",
            )
        elif lick.slug in licks:
            earlier = licks[lick.slug]
            reading.add(
                lick.line,
                lick.column,
                f"lick {shown(lick.name)} is named like the one in line {earlier.line}",
                "Each lick has a name of its own, told apart by letters and figures",
                "rename one of the two",
            )
        else:
            licks[lick.slug] = lick
    return licks


def slug_of(name: str, licks: dict[str, Lick] | dict[str, FullLick]) -> str | None:
    """The slug under which a lick is kept, None when there is none of that name."""
    found = slug(name)
    return found if found in licks else None


class _Filler:
    """Fills licks in, those first that others borrow from."""

    def __init__(self, licks: dict[str, Lick], reading: Reading) -> None:
        self.done: dict[str, FullLick] = {}
        self._licks, self._reading = licks, reading
        self._broken: set[str] = set()  # each for a reason that has been noted
        self._bars = 0

    def resolve(self, name: str) -> None:
        """Fill in one lick and all it needs, depth first, with a stack of our own."""
        if name in self.done or name in self._broken:
            return
        path = {name: self._needs(name)}
        while path:
            last = next(reversed(path))
            need = next(path[last], None)
            if need is None:
                del path[last]
                self._finish(self._licks[last])
            elif need in path:
                self._circle(list(path), need)
            elif need not in self.done and need not in self._broken:
                path[need] = self._needs(need)

    def _needs(self, name: str) -> Iterator[str]:
        """Slugs of the licks this one borrows from, each once; unknown names are noted."""
        seen: set[str] = set()
        for line in self._licks[name].lines:
            if not isinstance(line, Borrow):
                continue
            other = slug_of(line.lick, self._licks)
            if other is None:
                self._broken.add(name)
                close = nearest(line.lick, (lick.name for lick in self._licks.values()))
                self._reading.add(
                    line.line,
                    line.column,
                    f"no lick is named {shown(line.lick)}",
                    "Bars are borrowed from a lick of the same file",
                    f"did you mean {close}?" if close else f"begin it with `Lick {line.lick}`",
                )
            elif other not in seen:
                seen.add(other)
                yield other

    def _circle(self, path: list[str], need: str) -> None:
        circle = path[path.index(need) :]
        self._broken.update(circle)
        lick = self._licks[circle[-1]]
        names = [self._licks[step].name for step in (*circle, need)]
        shortened = names if len(names) <= 7 else [*names[:3], "…", *names[-2:]]
        borrow = next(
            line for line in lick.lines if isinstance(line, Borrow) and slug(line.lick) == need
        )
        self._reading.add(
            borrow.line,
            borrow.column,
            "licks that borrow from each other in a circle: " + " from ".join(shortened),
            "Borrowed bars must be written out somewhere",
            f"write out the bars of {lick.name}",
        )

    def _finish(self, lick: Lick) -> None:
        bars: dict[int, LickBar] = {}
        whole = lick.slug not in self._broken
        for line in lick.lines:
            if isinstance(line, Bar):
                whole &= self._put(bars, line.number, LickBar(lick.slug, line), line)
            elif isinstance(line, Borrow):
                whole &= self._put_borrowed(bars, line)
        if whole and self._contiguous(lick, bars):
            numbers = sorted(bars)
            filled = tuple(bars[number] for number in numbers)
            self.done[lick.slug] = FullLick(lick, numbers[0], filled)
        else:
            self._broken.add(lick.slug)

    def _put(self, bars: dict[int, LickBar], number: int, bar: LickBar, line: Bar | Borrow) -> bool:
        if number in bars:
            self._reading.add(
                line.line,
                line.column,
                f"bar {number} stands twice in this lick",
                "Each bar of a lick is written once",
                "renumber one of the two",
            )
            return False
        bars[number] = bar
        return True

    def _put_borrowed(self, bars: dict[int, LickBar], borrow: Borrow) -> bool:
        source = self.done.get(slug(borrow.lick))
        if source is None:
            return False  # its own problem has been noted
        first = max(1, source.first) if borrow.other_first is None else borrow.other_first
        last = source.last if borrow.other_last is None else borrow.other_last
        wanted, given = borrow.last - borrow.first + 1, last - first + 1
        fault = _misfit(source, (first, last), (wanted, given))
        self._bars += wanted
        if not fault[0] and self._bars > MAX_LICK_BARS:
            rule = f"All licks of a tune together have at most {MAX_LICK_BARS}, borrowed ones too"
            fault = (f"{self._bars} bars in the licks so far", rule, "borrow fewer bars")
            self._bars -= wanted
        if fault[0]:
            self._reading.add(borrow.line, borrow.column, *fault)
            return False
        puts = (
            self._put(bars, borrow.first + step, source.bar(first + step % given), borrow)
            for step in range(wanted)
        )
        return all(puts)

    def _contiguous(self, lick: Lick, bars: dict[int, LickBar]) -> bool:
        first = min(bars, default=1)
        missing = next((n for n in range(first, first + len(bars)) if n not in bars), None)
        if not bars:
            found = f"lick {lick.name} has no bars"
            rule, mend = "A lick has at least one", "write it like `1: 4d = 3d&2d .`"
        elif first > 1 or missing is not None:
            found = f"lick {lick.name} has no bar {1 if first > 1 else missing}"
            rule = "Bars of a lick count on from 1, or from 0 with a pickup"
            mend = "renumber its bars"
        else:
            return True
        if lick.line not in self._reading.torn:
            self._reading.add(lick.line, lick.column, found, rule, mend)
        return False


def _misfit(
    source: FullLick, ends: tuple[int, int], lengths: tuple[int, int]
) -> tuple[str, str, str]:
    """What is wrong with borrowing bars `ends`, `lengths` being wanted and given; empty if fine."""
    (first, last), (wanted, given) = ends, lengths
    if not source.first <= first <= last <= source.last:
        has = f"lick {source.lick.name} has bars {source.first} to {source.last}"
        mend = f"write `as {source.lick.name}` for all of them from bar 1 on, or bars that exist"
        return f"{has}, not {first} to {last}", "Borrowed bars must exist", mend
    if wanted % given:
        rule = "The borrowed bars fill the place once or several times exactly"
        mend = f"name the bars, like `as {source.lick.name}, bar {first}`, or change the place"
        return f"{wanted} bars filled from {given}", rule, mend
    return "", "", ""
