"""How two licks or pieces are alike, note for note.

Conventions: pairs are (note of the earlier, note of the later) by place from 0, both rising. Two
notes are the same as `shape` says; the silence before the first note of a shared ending does not
count, as it does not at the start of a unit. Of the kinds that say something of the whole
(identical, one note or one bar changed, nearly the same) the first that holds is given; a shared
opening, a shared ending, the same rhythm and the same contour are looked for by themselves.
Source: common practice for the kinds, from memory for the least numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from reedwright.lesson.shape import Note, Shape
from reedwright.tune.events import Event

LEAST = 3
"""Notes two units share at least: two in common are chance (from memory)."""

LEAST_CONTOUR = 4
"""Notes of a contour at least, with a turn in it: shorter ones are chance (from memory)."""

NEARLY = (2, 3)
"""Share of the longer one that stays the same in what is nearly the same (from memory)."""

MOST_ALIGNED = 64
"""Notes between a shared opening and a shared ending that are aligned: the work is their square."""


class Kind(StrEnum):
    """Kinds of likeness, from the most to the least that is known already."""

    IDENTICAL = "identical"
    ONE_NOTE = "one-note"
    ONE_BAR = "one-bar"
    NEARLY = "nearly"
    OPENING = "opening"
    ENDING = "ending"
    RHYTHM = "rhythm"
    CONTOUR = "contour"


WHOLE = (Kind.IDENTICAL, Kind.ONE_NOTE, Kind.ONE_BAR, Kind.NEARLY)
Pairs = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Match:
    """A likeness of two units: which notes correspond. `holes`: in the same rhythm, how many holes
    higher every note is with the same breath and bend; None where that is not so."""

    kind: Kind
    pairs: Pairs
    holes: int | None = None


def compared(earlier: Shape, later: Shape) -> tuple[Match, ...]:
    """Every likeness of two units; none for strangers."""
    whole = whole_match(earlier, later)
    if whole is not None and whole.kind is Kind.IDENTICAL:
        return (whole,)
    ends = tuple(shared_ends(earlier, later)) if whole is None else (whole,)
    rest = (match(earlier, later) for match in (rhythm_match, contour_match))
    return (*ends, *(found for found in rest if found is not None))


def whole_match(earlier: Shape, later: Shape) -> Match | None:
    """What can be said of the two as a whole."""
    if earlier.notes == later.notes:
        return Match(Kind.IDENTICAL, _straight(len(later.notes)))
    counts = len(earlier.notes), len(later.notes)
    opening, ending = _shared(earlier.notes, later.notes)
    if opening + ending >= LEAST and max(counts) - opening - ending <= 1:
        return Match(Kind.ONE_NOTE, _ends(opening, ending, counts))
    pairs = _one_bar(earlier, later)
    if len(pairs) >= LEAST:
        return Match(Kind.ONE_BAR, pairs)
    middles = [count - opening - ending for count in counts]
    some, of_all = NEARLY
    most = opening + ending + min(middles)
    if max(middles) > MOST_ALIGNED or most <= LEAST or most * of_all < max(counts) * some:
        return None
    pairs = _aligned(earlier.notes, later.notes, opening, ending)
    more = len(pairs) > max(LEAST, opening, ending)  # else it is a shared end, and said as one
    enough = more and len(pairs) * of_all >= max(counts) * some
    return Match(Kind.NEARLY, pairs) if enough else None


def shared_ends(earlier: Shape, later: Shape) -> Iterator[Match]:
    """A shared opening and a shared ending."""
    counts = len(earlier.notes), len(later.notes)
    opening, ending = _shared(earlier.notes, later.notes)
    if opening >= LEAST:
        yield Match(Kind.OPENING, _straight(opening))
    if ending >= LEAST:
        yield Match(Kind.ENDING, _ends(0, ending, counts))


def rhythm_match(earlier: Shape, later: Shape) -> Match | None:
    """The same rhythm from end to end with another tab."""
    if len(later.rhythm) < LEAST or earlier.rhythm != later.rhythm or earlier.notes == later.notes:
        return None
    pairs = _straight(len(later.rhythm))
    return Match(Kind.RHYTHM, pairs, _moved(earlier.unit.events, later.unit.events))


def contour_match(earlier: Shape, later: Shape) -> Match | None:
    """The same way up and down, with a turn in it, whatever the holes and the rhythm."""
    line = later.contour
    if earlier.notes == later.notes or line is None or line != earlier.contour:
        return None
    if len(line) < LEAST_CONTOUR - 1 or not {-1, 1} <= set(line):
        return None
    return Match(Kind.CONTOUR, _straight(len(line) + 1))


def _straight(count: int) -> Pairs:
    return tuple((place, place) for place in range(count))


def _ends(opening: int, ending: int, counts: tuple[int, int]) -> Pairs:
    """The first `opening` and the last `ending` notes of both."""
    ends = (tuple(count - back for count in counts) for back in range(ending, 0, -1))
    return (*_straight(opening), *((a, b) for a, b in ends))


def _shared(earlier: Sequence[Note], later: Sequence[Note]) -> tuple[int, int]:
    """How many notes are the same at the start and, of the others, at the end."""
    least = min(len(earlier), len(later))
    opening = _run(least, lambda place: earlier[place] == later[place])
    ending = _run(least - opening, lambda place: earlier[-1 - place] == later[-1 - place])
    if ending < least - opening and earlier[-1 - ending][:2] == later[-1 - ending][:2]:
        ending += 1  # its first note, after another silence
    return opening, ending


def _run(most: int, same: Callable[[int], bool]) -> int:
    return next((place for place in range(most) if not same(place)), most)


def _one_bar(earlier: Shape, later: Shape) -> Pairs:
    """The notes of all bars but one, where all others are the same; none otherwise."""
    bars = tuple(zip(earlier.bars, later.bars, strict=False))
    if len(bars) < 2 or len(earlier.bars) != len(later.bars):
        return ()
    if sum(one != other for one, other in bars) != 1:
        return ()
    pairs: list[tuple[int, int]] = []
    first = second = 0
    for one, other in bars:
        if one == other:
            pairs += [(first + step, second + step) for step in range(len(one))]
        first, second = first + len(one), second + len(other)
    return tuple(pairs)


def _aligned(earlier: Sequence[Note], later: Sequence[Note], opening: int, ending: int) -> Pairs:
    """The most notes of both that are the same and in the same order."""
    one, other = earlier[opening : len(earlier) - ending], later[opening : len(later) - ending]
    best = [[0] * (len(other) + 1) for _ in range(len(one) + 1)]
    for i in range(len(one) - 1, -1, -1):
        row, below = best[i], best[i + 1]
        for j in range(len(other) - 1, -1, -1):
            if one[i] == other[j]:
                row[j] = below[j + 1] + 1
            else:
                row[j] = max(below[j], row[j + 1])
    middle: list[tuple[int, int]] = []
    i = j = 0
    while i < len(one) and j < len(other):
        if one[i] == other[j]:
            middle.append((opening + i, opening + j))
            i, j = i + 1, j + 1
        elif best[i + 1][j] >= best[i][j + 1]:
            i += 1
        else:
            j += 1
    counts = len(earlier), len(later)
    return (*_straight(opening), *middle, *_ends(0, ending, counts))


def _moved(earlier: Sequence[Event], later: Sequence[Event]) -> int | None:
    """How many holes higher the later notes are, where that is one number for all of them."""
    moves: set[int] = set()
    for one, other in zip(earlier, later, strict=True):
        reeds = one.sound.reeds, other.sound.reeds
        if len(reeds[0]) != len(reeds[1]):
            return None
        for a, b in zip(*reeds, strict=True):
            if (a.breath, a.bend, a.over, a.button) != (b.breath, b.bend, b.over, b.button):
                return None
            moves.add(b.hole - a.hole)
    return moves.pop() if len(moves) == 1 else None
