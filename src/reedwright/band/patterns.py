"""Rows of a pattern: text that a musician reads, and the strokes it stands for.

Conventions: a row is one bar; a space stands between beats, the signs of one beat share it evenly.
Positions in counted beats from the start of the bar, exact and unswung. In a compound meter beats
of 2, 4 or 8 signs become triplets, as a 2:1 shuffle would have them (common practice). The
notation is explained in docs/band.md.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from reedwright.performance.swing import swings, swung

SPLITS = (1, 2, 3, 4, 6, 8)
"""Signs a beat may have."""

REST, HOLD = ".", "-"
_TRIPLETS = {2: 3, 4: 6, 8: 12}
_SHUFFLE = Fraction(2)

Row = tuple[str, ...]
"""The signs of each beat."""


@dataclass(frozen=True, slots=True)
class Slot:
    """A stroke and the sign it is written with; `length` up to the next sign that is no hold.

    `split` and `end_split`: into how many parts the beats are split in which it starts and ends.
    """

    start: Fraction
    length: Fraction
    split: int
    end_split: int
    sign: str

    @property
    def end(self) -> Fraction:
        return self.start + self.length


def row_of(text: str) -> Row:
    """The beats of a row.

    >>> row_of("x. xo")
    ('x.', 'xo')
    """
    return tuple(text.split())


def pieces(beats: int) -> tuple[int, ...]:
    """The bars of four and three (the last one maybe cut to two or one) that make up a bar.

    >>> [pieces(beats) for beats in (1, 2, 3, 4, 5, 7, 9)]
    [(1,), (2,), (3,), (4,), (3, 2), (4, 3), (4, 3, 2)]
    """
    made: list[int] = []
    while beats > 5:
        made.append(4)
        beats -= 4
    return (*made, 3, 2) if beats == 5 else (*made, beats)


def joined(by_beats: Mapping[int, Row], beats: int, *, end: Row = ()) -> Row:
    """A row of any number of beats from those of four and of three; `end` replaces its last beats,
    as many of its own last ones as fit the last piece."""
    row: list[str] = []
    sizes = pieces(beats)
    for size in sizes:
        row += by_beats[3 if size == 3 else 4][:size]
    last = min(sizes[-1], len(end))
    return (*row[: len(row) - last], *end[len(end) - last :])


@lru_cache(maxsize=4096)
def slots(row: Row, compound: bool = False) -> tuple[Slot, ...]:
    """The strokes of a row in order. A hold with nothing before it is a rest.

    >>> [(str(slot.start), str(slot.length)) for slot in slots(("x-", "-."))]
    [('0', '3/2')]
    """
    made: list[Slot] = []
    open_now = False
    for beat, signs in enumerate(row):
        cuts, split = _cuts(len(signs), compound)
        for index, sign in enumerate(signs):
            start, end = beat + cuts[index], beat + cuts[index + 1]
            if sign == HOLD and open_now:
                last = made.pop()
                made.append(replace(last, length=end - last.start, end_split=split))
            elif sign not in (REST, HOLD):
                made.append(Slot(start, end - start, split, split, sign))
            open_now = sign != REST and (sign != HOLD or open_now)
    return tuple(made)


def _cuts(count: int, compound: bool) -> tuple[list[Fraction], int]:
    """Where the signs of a beat begin and the last ends, and how the beat is split."""
    shares = [Fraction(index, count) for index in range(count + 1)]
    if compound and swings(count):
        return [swung(share, _SHUFFLE) for share in shares], _TRIPLETS[count]
    return shares, count


def struck_again(made: Sequence[Slot], starts: Sequence[Fraction]) -> tuple[Slot, ...]:
    """The same strokes, where one that sounds across one of `starts` is struck again there."""
    inner = [start for start in starts if start > 0]
    if not inner:
        return tuple(made)
    again: list[Slot] = []
    for slot in made:
        rest = slot
        for start in inner:
            if rest.start < start < rest.end:
                split = start.denominator
                again.append(replace(rest, length=start - rest.start, end_split=split))
                rest = replace(rest, start=start, length=rest.end - start, split=split)
        again.append(rest)
    return tuple(again)
