"""The same melody from another position: every lick keeps its notes and finds new holes.

Conventions: a lick is fitted by itself, as written, so that it is the same wherever it is placed;
all licks move by the same octaves, those that cost least in all. Marks stay on their notes, but for
a dip, a fall or a rake that the new note cannot have, which is dropped and said. Chords, splits and
shakes need the same notes on one breath; where a harp does not give them, nothing is written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from reedwright.errors import Place, Problem, TuneError
from reedwright.fit.costs import Costs
from reedwright.fit.effort import Effort
from reedwright.fit.search import Search, Timing
from reedwright.fit.ways import Way, Ways
from reedwright.harp.harp import Harp, harp_named
from reedwright.harp.law import bend_limit, higher_breath
from reedwright.harp.note import TabNote
from reedwright.harp.position import harp_key_for, position_name
from reedwright.tune.barring import TimedSound, sounds_of
from reedwright.tune.marks import Mark, MarkKind
from reedwright.tune.tokens import format_sound
from reedwright.tune.tune import Tune
from reedwright.tune.values import Bar, Comment, Header, Lick, Part, Remark, Sound, TuneText

_OCTAVES = (0, 12, -12, 24, -24)


@dataclass(frozen=True, slots=True)
class Retabbed:
    """The new text, the harp it is for, octaves moved, and what could not be kept, in words."""

    text: TuneText
    harp: Harp
    octaves: int
    lost: tuple[str, ...]


def from_position(tune: Tune, position: int, effort: Effort) -> Retabbed:
    """The tune from another position, in the same key.

    Errors: HarpError for a position that is none; TuneError with every sound the harp lacks.
    """
    tuning = tune.harp.tuning
    key = harp_key_for(tune.key_name.partition(" ")[0], position, tuning.label_position)
    harp = replace(harp_named(key), tuning=tuning, temperament=tune.harp.temperament)
    harp = replace(harp, a4_hz=tune.harp.a4_hz)
    licks = {lick.slug: _sounds(lick, tune.meter.beats) for lick in tune.text.licks}
    fitting = _Fitting(licks, tune, harp, Costs(effort))
    found = [
        (cost, order, shift, tabs)
        for order, shift in enumerate(_OCTAVES)
        for cost, tabs in fitting.at(shift)
    ]
    if not found:
        raise _missing(fitting)
    _, _, shift, tabs = min(found, key=lambda row: row[:2])
    lost: list[str] = []
    blocks = tuple(
        _rewritten(block, tabs[block.slug], harp, lost) if isinstance(block, Lick) else block
        for block in tune.text.blocks
    )
    head = tuple(_head(item, harp, position) for item in tune.text.head)
    return Retabbed(TuneText(head, blocks), harp, shift // 12, tuple(lost))


def _sounds(lick: Lick, beats: int) -> tuple[TimedSound, ...]:
    """What the lick itself writes; borrowed bars are another lick's."""
    return sounds_of(((bar.number, bar) for bar in lick.lines if isinstance(bar, Bar)), beats)


class _Fitting:
    """The licks of a tune on another harp."""

    def __init__(
        self, licks: dict[str, tuple[TimedSound, ...]], tune: Tune, harp: Harp, costs: Costs
    ) -> None:
        self.licks, self.harp = licks, harp
        self._old, self._costs = tune.harp, costs
        self._ways = Ways(harp.tuning, tune.abilities or None)
        self._beat_s = float(60 / tune.full_tempo_bpm)

    def options(self, sound: Sound, shift: int) -> tuple[Way, ...]:
        """The ways to play a sound that is moved by some semitones."""
        by = shift - self.harp.key_midi
        pitches = tuple(self._old.midi(note) + by for note in sound.reeds)
        if sound.shake is None:
            return self._ways.of(tuple(sorted(pitches)))
        return self._ways.shakes(pitches[0], pitches[1])

    def at(self, shift: int) -> Iterator[tuple[int, dict[str, list[Way]]]]:
        """Cost and tabs by lick, nothing where a sound has no place."""
        total, tabs = 0, {}
        for slug, sounds in self.licks.items():
            layers = [self.options(each.sound, shift) for each in sounds]
            if not all(layers):
                return
            lengths = tuple(float(each.length) * self._beat_s for each in sounds)
            times = tuple(float(b.start - a.start) * self._beat_s for a, b in pairwise(sounds))
            best = Search(layers, Timing(lengths, times), self._costs).best()
            total += best.cost
            tabs[slug] = list(best.ways)
        yield total, tabs


def _missing(fitting: _Fitting) -> TuneError:
    """Every sound that the harp lacks at the octave that lacks fewest."""
    lacking = min(
        (
            [
                written
                for sounds in fitting.licks.values()
                for written in sounds
                if not fitting.options(written.sound, shift)
            ]
            for shift in _OCTAVES
        ),
        key=len,
    )
    return TuneError(
        tuple(
            Problem(
                f"{format_sound(each.sound)} has no place on the {fitting.harp.name} harp",
                "A melody keeps every note; the student must have the technique too",
                "try another position, or change this sound first",
                Place(each.line, each.sound.column),
            )
            for each in lacking
        )
    )


def _rewritten(lick: Lick, ways: list[Way], harp: Harp, lost: list[str]) -> Lick:
    following = iter(ways)

    def part_of(part: Part) -> Part:
        return _sound(part, next(following), harp, lick, lost) if isinstance(part, Sound) else part

    lines = tuple(_bar(line, part_of) if isinstance(line, Bar) else line for line in lick.lines)
    return replace(lick, lines=lines)


def _bar(bar: Bar, part_of: Callable[[Part], Part]) -> Bar:
    cells = tuple(replace(cell, parts=tuple(map(part_of, cell.parts))) for cell in bar.cells)
    return replace(bar, cells=cells)


def _sound(sound: Sound, way: Way, harp: Harp, lick: Lick, lost: list[str]) -> Sound:
    notes, shake = (way.notes, None) if sound.shake is None else (way.notes[:1], way.notes[1])
    kept = []
    for mark in sound.marks:
        if _possible(mark, way, harp):
            kept.append(mark)
        else:
            lost.append(f"{lick.name}: the {mark.kind.word} of {format_sound(sound)}")
    return replace(sound, notes=notes, shake=shake, marks=tuple(kept))


def _possible(mark: Mark, way: Way, harp: Harp) -> bool:
    first = way.notes[0]
    match mark.kind:
        case MarkKind.DIP | MarkKind.FALL:
            return mark.amount <= _room_below(first, harp)
        case MarkKind.RAKE:
            return mark.amount != first.hole and mark.amount <= harp.holes
        case _:
            return True


def _room_below(note: TabNote, harp: Harp) -> int:
    """Semitones a note can be dipped into; a little where its reed is the higher one, as players
    do without a full semitone of bend (common practice)."""
    if note.over:
        return 0
    least = int(not note.bend and higher_breath(harp.tuning, note.hole) is note.breath)
    return max(bend_limit(harp.tuning, note.hole, note.breath) - note.bend, least)


def _head(item: Header | Remark | Comment, harp: Harp, position: int) -> Header | Remark | Comment:
    if not isinstance(item, Header):
        return item
    match item.key.lower():
        case "harp":
            return replace(item, value=harp.key)
        case "position":
            return replace(item, value=position_name(position))
        case _:
            return item
