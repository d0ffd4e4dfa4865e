"""Licks resolved: every bar of every lick with its cells, borrowed bars filled in.

Borrowing may go through any number of licks (without recursion here) but not in a circle.
Problems are collected in the reading, with the line they come from.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches

from reedwright.harp.pitch import shown
from reedwright.tune.reading import Reading
from reedwright.tune.values import Bar, Borrow, Hold, Lick, Rest, TuneText, slug


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
    """Every lick of a file by slug, those left out that cannot be made whole."""
    licks = _by_slug(text, reading)
    done: dict[str, FullLick] = {}
    broken: set[str] = set()
    for name in licks:
        _resolve(name, licks, done, broken, reading)
    for full in done.values():
        _check_holds(full, reading)
    return done


def _by_slug(text: TuneText, reading: Reading) -> dict[str, Lick]:
    licks: dict[str, Lick] = {}
    for lick in text.licks:
        if not lick.slug:
            reading.add(
                lick.line,
                1,
                f"lick {shown(lick.name)} has no letter or figure of plain ASCII",
                "Files and ids are named after licks",
                "add a plain word to the name",
            )
        elif lick.slug in licks:
            earlier = licks[lick.slug]
            reading.add(
                lick.line,
                1,
                f"lick {shown(lick.name)} is named like the one in line {earlier.line}",
                "Each lick has a name of its own, told apart by letters and figures",
                "rename one of the two",
            )
        else:
            licks[lick.slug] = lick
    return licks


def _resolve(
    name: str, licks: dict[str, Lick], done: dict[str, FullLick], broken: set[str], reading: Reading
) -> None:
    path = [name]
    on_path = {name}
    while path:
        lick = licks[path[-1]]
        waiting = _next_needed(lick, licks, done, broken, reading)
        if waiting is None:
            _finish(lick, done, broken, reading)
            on_path.discard(path.pop())
        elif waiting in on_path:
            circle = [licks[step].name for step in path[path.index(waiting) :]]
            _circle(lick, circle, reading)
            broken.update(path)
            return
        else:
            path.append(waiting)
            on_path.add(waiting)


def _circle(lick: Lick, circle: list[str], reading: Reading) -> None:
    shortened = circle if len(circle) <= 6 else [*circle[:3], "…", *circle[-2:]]
    reading.add(
        lick.line,
        1,
        "licks that borrow from each other in a circle: " + " ← ".join([*shortened, circle[0]]),
        "Borrowed bars must be written out somewhere",
        f"write out the bars of {circle[0]}",
    )


def _next_needed(
    lick: Lick,
    licks: dict[str, Lick],
    done: dict[str, FullLick],
    broken: set[str],
    reading: Reading,
) -> str | None:
    if lick.slug in done or lick.slug in broken:
        return None
    for borrow in lick.lines:
        if isinstance(borrow, Borrow):
            other = slug_of(borrow.lick, licks)
            if other is None:
                reading.add(
                    borrow.line,
                    1,
                    f"no lick is named {shown(borrow.lick)}",
                    "Bars are borrowed from a lick of the same file",
                    _suggest(borrow.lick, licks),
                )
                broken.add(lick.slug)
                return None
            if other not in done and other not in broken:
                return other
    return None


def slug_of(name: str, licks: dict[str, Lick] | dict[str, FullLick]) -> str | None:
    """The slug under which a lick is kept, None when there is none of that name."""
    found = slug(name)
    return found if found in licks else None


def _suggest(name: str, licks: dict[str, Lick]) -> str:
    close = get_close_matches(name, [lick.name for lick in licks.values()], n=1, cutoff=0.5)
    return f"did you mean {close[0]}?" if close else f"begin it with `Lick {name}`"


def _finish(lick: Lick, done: dict[str, FullLick], broken: set[str], reading: Reading) -> None:
    if lick.slug in done or lick.slug in broken:
        return
    bars: dict[int, LickBar] = {}
    whole = True
    for line in lick.lines:
        if isinstance(line, Bar):
            whole &= _put(bars, line.number, LickBar(lick.slug, line), line.line, reading)
        elif isinstance(line, Borrow):
            whole &= _put_borrowed(bars, line, done, reading)
    if whole and _contiguous(lick, bars, reading):
        first = min(bars)
        done[lick.slug] = FullLick(lick, first, tuple(bars[number] for number in sorted(bars)))
    else:
        broken.add(lick.slug)


def _put(bars: dict[int, LickBar], number: int, bar: LickBar, line: int, reading: Reading) -> bool:
    if number in bars:
        reading.add(
            line,
            1,
            f"bar {number} stands twice in this lick",
            "Each bar of a lick is written once",
            "renumber one of the two",
        )
        return False
    bars[number] = bar
    return True


def _put_borrowed(
    bars: dict[int, LickBar], borrow: Borrow, done: dict[str, FullLick], reading: Reading
) -> bool:
    source = done.get(slug(borrow.lick))
    if source is None:
        return False  # its own problem has been noted
    first = max(1, source.first) if borrow.other_first is None else borrow.other_first
    last = source.last if borrow.other_last is None else borrow.other_last
    wanted, given = borrow.last - borrow.first + 1, last - first + 1
    if not source.first <= first <= last <= source.last:
        reading.add(
            borrow.line,
            1,
            f"lick {source.lick.name} has bars {source.first} to {source.last}, "
            f"not {first} to {last}",
            "Borrowed bars must exist",
            "",
        )
        return False
    if wanted % given and borrow.other_first is not None:
        reading.add(
            borrow.line,
            1,
            f"{wanted} bars filled from {given}",
            "The borrowed bars fill the place once or several times exactly",
            "change one of the two ranges",
        )
        return False
    whole = True
    for step in range(wanted):
        bar = source.bar(first + step % given)
        whole &= _put(bars, borrow.first + step, bar, borrow.line, reading)
    return whole


def _contiguous(lick: Lick, bars: dict[int, LickBar], reading: Reading) -> bool:
    if not bars:
        reading.add(
            lick.line,
            1,
            f"lick {lick.name} has no bars",
            "A lick has at least one",
            "write it like `1: 4d = 3d&2d .`",
        )
        return False
    first = min(bars)
    missing = next((n for n in range(first, first + len(bars)) if n not in bars), None)
    if first > 1 or missing is not None:
        reading.add(
            lick.line,
            1,
            f"lick {lick.name} has no bar {1 if first > 1 else missing}",
            "Bars of a lick count on from 1, or from 0 with a pickup",
            "renumber its bars",
        )
        return False
    return True


def _check_holds(full: FullLick, reading: Reading) -> None:
    sounding = False
    for lick_bar in full.bars:
        for cell in lick_bar.bar.cells:
            for part in cell.parts:
                if isinstance(part, Hold) and not sounding and lick_bar.origin == full.lick.slug:
                    reading.add(
                        lick_bar.bar.line,
                        part.column,
                        "a hold with nothing to hold",
                        "= goes on with the sound before it in the same lick",
                        "write . for a rest, or a note",
                    )
                sounding = not isinstance(part, Rest) and (sounding or not isinstance(part, Hold))
