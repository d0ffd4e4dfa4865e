"""Lines of music as plain text: counts, tab and words in columns that stand under each other.

Conventions: a column belongs to one time; a bar is closed by `|`. Nothing is wider than `width`
characters: a bar too long for a line goes on in the next, broken before a beat where it can be.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

_EDGE = 5  # characters before the first column: the number of the bar


@dataclass(frozen=True, slots=True)
class Slot:
    """One time: what is counted there, its lines of tab, names and manner above, a chord, and words
    on technique below."""

    count: str = ""
    tab: tuple[str, ...] = ()
    above: str = ""
    chord: str = ""
    below: str = ""

    @property
    def width(self) -> int:
        return 1 + max(1, len(self.count), *(len(line) for line in self.tab))

    @property
    def is_beat(self) -> bool:
        return self.count.isdigit()


@dataclass(frozen=True, slots=True)
class Run:
    """A bar or a piece of one; `number` is empty for a piece that goes on, `closed` ends a bar."""

    number: str
    slots: tuple[Slot, ...]
    closed: bool = True

    @property
    def width(self) -> int:
        return 2 + sum(slot.width for slot in self.slots)


def music_lines(bars: Sequence[Run], width: int) -> list[tuple[Run, ...]]:
    """Bars shared out on as few lines of `width` characters as hold them, about evenly."""
    lines = _filled(bars, width, len(bars))
    even = _filled(bars, width, -(-len(bars) // max(1, len(lines))))
    return even if len(even) == len(lines) else lines


def _filled(bars: Sequence[Run], width: int, most: int) -> list[tuple[Run, ...]]:
    """Each line as full as can be, with at most `most` bars that end on it."""
    lines: list[list[Run]] = []
    used = width
    for bar in bars:
        for run in _pieces(bar, width - _EDGE):
            if used + run.width > width or sum(other.closed for other in lines[-1]) >= most:
                lines.append([])
                used = _EDGE
            lines[-1].append(run)
            used += run.width
    return [tuple(line) for line in lines]


def _pieces(bar: Run, width: int) -> Iterator[Run]:
    """A bar in as many pieces as it takes to fit the width."""
    slots, number = list(bar.slots), bar.number
    while slots:
        fits, used = 0, 2
        while fits < len(slots) and used + slots[fits].width <= width:
            used += slots[fits].width
            fits += 1
        if fits == len(slots):
            yield Run(number, tuple(slots))
            return
        beats = [at for at in range(1, fits + 1) if slots[at].is_beat]
        cut = beats[-1] if beats else max(1, fits)
        yield Run(number, tuple(slots[:cut]), closed=False)
        slots, number = slots[cut:], ""


def drawn_line(runs: tuple[Run, ...], width: int) -> list[str]:
    """One line of music: words, chords, counts, tab, words on technique; empty rows left out."""
    columns: list[tuple[int, Slot]] = []
    bar_lines: list[int] = []
    at = _EDGE
    for run in runs:
        for slot in run.slots:
            columns.append((at, slot))
            at += slot.width
        if run.closed:
            bar_lines.append(at)
        at += 2
    depth = max(len(slot.tab) for _, slot in columns)
    counts = _row([(at, slot.count) for at, slot in columns], bar_lines)
    tab = [
        _row([(at, slot.tab[k]) for at, slot in columns if k < len(slot.tab)], bar_lines)
        for k in range(depth)
    ]
    number = next((run.number for run in runs if run.number), "")
    tab[0] = f"{number:>{_EDGE - 2}}{tab[0][_EDGE - 2 :]}"
    above = stacked([(at, slot.above) for at, slot in columns], width)
    chords = stacked([(at, slot.chord) for at, slot in columns], width)
    below = stacked([(at, slot.below) for at, slot in columns], width)
    return [*reversed(above), *reversed(chords), counts, *tab, *below]


def _row(texts: list[tuple[int, str]], bar_lines: list[int]) -> str:
    return _put([*texts, *((at, "|") for at in bar_lines)])


def _put(texts: list[tuple[int, str]]) -> str:
    row = ""
    for at, text in sorted(texts):
        row = row.ljust(at) + text
    return row.rstrip()


def stacked(texts: list[tuple[int, str]], width: int) -> list[str]:
    """Texts at their columns in as few rows as keep them apart, shifted left where they would
    leave the line; a text too long for a row of its own is wrapped."""
    rows: list[list[tuple[int, str]]] = []
    for at, text in texts:
        for part in textwrap.wrap(text, width) if text else ():
            start = max(0, min(at, width - len(part)))
            row = next((row for row in rows if _end(row) + 2 <= start or not row), None)
            if row is None:
                rows.append(row := [])
            row.append((start, part))
    return [_put(row) for row in rows]


def _end(row: list[tuple[int, str]]) -> int:
    return row[-1][0] + len(row[-1][1]) if row else -2
