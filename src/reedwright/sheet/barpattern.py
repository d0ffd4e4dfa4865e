"""How one bar is written: its sounds and rests as tied note values, in tuplets, under beams.

Conventions: ticks count from the start of the bar. Every beat can be seen: a sound that runs over
a beat it did not start on is tied there; a sound from the beat may be a dotted quarter, a half and
so on inside its half of the bar. A beat is split no finer than its sounds need. Beams join the
notes of a beat and break at rests. Source: common practice of engraving.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from math import gcd
from typing import NamedTuple

from reedwright.sheet.notevalue import KEPT, beams, ordinary_split, values


class Span(NamedTuple):
    """A sound or rest inside a bar; `begins` and `ends` say whether it does so inside the bar."""

    start: int
    end: int
    rest: bool
    begins: bool
    ends: bool


class Piece(NamedTuple):
    """One written note or rest of span number `span`. (A tuple: a long tune has very many.)

    `starts` and `ends`: whether the sound does so here, or is tied. `level` and `dots` are the note
    value, see `notevalue`; a rest for the whole bar has `whole_bar` instead. `tuplet` is (parts,
    in the time of), `edge` where in its bracket the note stands: "start", "stop" or "".
    """

    span: int
    at: int
    length: int
    rest: bool
    starts: bool
    ends: bool
    level: int = 0
    dots: int = 0
    whole_bar: bool = False
    tuplet: tuple[int, int] | None = None
    edge: str = ""
    bracket: bool = False
    beams: tuple[str, ...] = ()


# Beats a value of so many beats may start on (beats from 0), by beats of the bar.
_Table = dict[int, dict[int, tuple[int, ...]]]
_NOTES: _Table = {4: {4: (0,), 3: (0,), 2: (0, 1, 2)}, 3: {3: (0,), 2: (0, 1)}, 2: {2: (0,)}}
_RESTS: _Table = {4: {2: (0, 2)}}
_DOTTED: _Table = {4: {4: (0,), 2: (0, 2)}, 3: {2: (0,)}, 2: {2: (0,)}}  # in compound meters
_DOTTED_QUARTER = {4: (0, 2), 3: (0, 1), 2: (0,)}  # beats (from 0) it may start on
_BEATS = {1: (0, 0), 2: (-1, 0), 3: (-1, 1), 4: (-2, 0)}  # beats: level and dots


@lru_cache(maxsize=KEPT)
def pattern(spans: tuple[Span, ...], beats: int, compound: bool, ticks: int) -> tuple[Piece, ...]:
    """The bar as written. `spans` lie end to end; `ticks` to a beat of `beats` in the bar."""
    first = spans[0]
    if len(spans) == 1 and first.rest and first.end - first.start == beats * ticks:
        return (Piece(0, 0, first.end, True, True, True, whole_bar=True),)
    return tuple(_Writer(spans, beats, compound, ticks).pieces())


class _Writer:
    """Writes one bar."""

    def __init__(self, spans: tuple[Span, ...], beats: int, compound: bool, ticks: int) -> None:
        self._spans, self._beats, self._compound, self._ticks = spans, beats, compound, ticks
        self._unit = [ticks] * beats  # ticks in the smallest part each beat needs
        for span in spans:
            for at in (span.start, span.end):
                beat, inside = divmod(at, ticks)
                if inside:
                    self._unit[beat] = gcd(self._unit[beat], inside)

    def pieces(self) -> Iterator[Piece]:
        beat_run: list[Piece] = []  # pieces inside the current beat, all shorter than it
        for number, span in enumerate(self._spans):
            for piece in self._span(number, span):
                whole = piece.length >= self._ticks
                if beat_run and (whole or self._beat(piece) != self._beat(beat_run[0])):
                    yield from self._joined(beat_run)
                    beat_run = []
                if whole:
                    yield piece
                else:
                    beat_run.append(piece)
        yield from self._joined(beat_run)

    def _beat(self, piece: Piece) -> int:
        return piece.at // self._ticks

    def _span(self, number: int, span: Span) -> Iterator[Piece]:
        at = span.start
        while at < span.end:
            for length, level, dots in self._next(at, span):
                starts = span.rest or (span.begins and at == span.start)
                ends = span.rest or (span.ends and at + length == span.end)
                yield Piece(number, at, length, span.rest, starts, ends, level, dots)
                at += length

    def _next(self, at: int, span: Span) -> list[tuple[int, int, int]]:
        """The next values of a span: their ticks, level and dots."""
        beat, inside = divmod(at, self._ticks)
        left = span.end - at
        if inside or left < self._ticks:
            unit = self._unit[beat]
            units = min(left, self._ticks - inside) // unit
            parts = self._ticks // unit
            found = values(inside // unit, units, parts, self._compound, span.rest)
            return [(value.units * unit, value.level, value.dots) for value in found]
        return [self._whole(beat, left, span.rest)]

    def _whole(self, beat: int, left: int, rest: bool) -> tuple[int, int, int]:
        """A value of one beat or more."""
        ticks = self._ticks
        if not self._compound and not rest and self._is_dotted_quarter(beat, left):
            return ticks + ticks // 2, 0, 1
        table = (_DOTTED if self._compound else _RESTS if rest else _NOTES).get(self._beats, {})
        run = next((run for run in table if run <= left // ticks and beat in table[run]), 1)
        level, dots = _BEATS[run]
        return run * ticks, level, dots + self._compound

    def _is_dotted_quarter(self, beat: int, left: int) -> bool:
        if 2 * left != 3 * self._ticks or beat not in _DOTTED_QUARTER.get(self._beats, ()):
            return False
        parts = self._ticks // self._unit[beat + 1]
        return ordinary_split(parts, self._compound) == parts

    def _joined(self, run: list[Piece]) -> Iterator[Piece]:
        """The pieces of one beat with their tuplet and beams."""
        if not run:
            return
        parts = self._ticks // self._unit[self._beat(run[0])]
        split = ordinary_split(parts, self._compound)
        tuplet = None if split == parts else (parts, split)
        beamed = list(_beamed(run))
        bracket = not all(beamed)
        for at, (piece, own) in enumerate(zip(run, beamed, strict=True)):
            if tuplet is None:
                yield piece._replace(beams=own)
                continue
            edge = "start" if at == 0 else "stop" if at == len(run) - 1 else ""
            yield piece._replace(tuplet=tuplet, edge=edge, bracket=bracket, beams=own)


def _beamed(run: list[Piece]) -> Iterator[tuple[str, ...]]:
    """The beams of each piece."""
    group: list[int] = []
    for piece in run:
        if piece.rest or piece.level < 1:
            yield from beams(tuple(group))
            group = []
            yield ()
        else:
            group.append(piece.level)
    yield from beams(tuple(group))
