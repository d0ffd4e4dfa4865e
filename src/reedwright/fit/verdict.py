"""What a choice asks of a player, counted, and in words.

Conventions: counts are of notes of the melody (a chord is one); a turn is a change of breath from
one note to the next played; a leap is counted in holes as a move's cost counts them. Points are
those of `costs`. Words are for the teacher: short sentences, numbers first.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from reedwright.breath.lungs import Lungs
from reedwright.fit.breathe import air_of
from reedwright.fit.choices import Choice
from reedwright.fit.costs import POINT, crossed
from reedwright.fit.melody import Melody
from reedwright.harp.harp import Variant
from reedwright.harp.pitch import harp_key
from reedwright.harp.position import position_name


@dataclass(frozen=True, slots=True)
class Verdict:
    """A choice in numbers.

    Attributes:
        notes: of the melody; `natural` + `bends` + `overbends` + `unreachable` make all of them.
        turns: changes of breath.
        leap: the farthest move, in holes.
        margin_l: litres of air left at the tightest spot, None where it cannot be breathed.
        chord_tones, over_chords: notes on a tone of their chord, and notes that have a chord.
    """

    notes: int
    natural: int
    bends: int
    overbends: int
    unreachable: int
    turns: int
    leap: int
    margin_l: float | None
    chord_tones: int
    over_chords: int


def verdict(melody: Melody, choice: Choice, lungs: Lungs) -> Verdict:
    """Count what a choice asks for. Linear in the notes."""
    played = [way for way in choice.ways if way is not None]
    overbends = sum(way.overbent for way in played)
    bends = sum(way.bent for way in played) - overbends
    moves = list(pairwise(played))
    tones, over = _chord_tones(melody)
    return Verdict(
        notes=len(choice.ways),
        natural=len(played) - bends - overbends,
        bends=bends,
        overbends=overbends,
        unreachable=len(choice.ways) - len(played),
        turns=sum(before.draws is not after.draws for before, after in moves),
        leap=max((crossed(before, after) for before, after in moves), default=0),
        margin_l=air_of(melody, choice.ways, lungs).margin_l,
        chord_tones=tones,
        over_chords=over,
    )


def _chord_tones(melody: Melody) -> tuple[int, int]:
    """Notes on a tone of the chord they begin over, and notes that begin over a chord."""
    tones = over = 0
    for note in melody.notes:
        bar, beat = divmod(note.start, melody.meter.beats)
        spans = melody.bars[int(bar)] if 0 <= bar < len(melody.bars) else ()
        under = next((s for s in spans if s.start <= beat < s.start + s.length), None)
        if under is not None:
            over += 1
            tones += (note.top - under.chord.root) % 12 in under.chord.intervals
    return tones, over


def in_words(choice: Choice, counted: Verdict) -> str:
    """A choice as a paragraph: harp, position and key, then what it asks for."""
    where = f"{position_name(choice.position)} position, in {harp_key(choice.key)}"
    sentences = [
        f"{choice.harp.name} harp, {where}{_moved(choice.shift_semitones)}.",
        _notes(choice, counted),
        f"{_count(counted.turns, 'breath turn')}, farthest move {_count(counted.leap, 'hole')}.",
        _air(counted),
    ]
    if counted.over_chords:
        over = _count(counted.over_chords, "note")
        sentences.append(f"{counted.chord_tones} of {over} on a tone of the chord.")
    return " ".join(sentences)


def _moved(shift: int) -> str:
    if not shift:
        return ""
    way = "up" if shift > 0 else "down"
    octaves, rest = divmod(abs(shift), 12)
    parts = [_count(octaves, "octave")] if octaves else []
    parts += [_count(rest, "semitone")] if rest else []
    return f", {' and '.join(parts)} {way}"


def _notes(choice: Choice, counted: Verdict) -> str:
    used = Counter(
        token
        for token, way in zip(choice.tab, choice.ways, strict=True)
        if way is not None and way.bent
    )
    told = ", ".join(f"{token} ×{count}" if count > 1 else token for token, count in used.items())
    parts = [f"{counted.natural} natural"]
    parts += [_count(counted.bends, "bend")] if counted.bends else []
    parts += [_count(counted.overbends, "overbend")] if counted.overbends else []
    parts += [f"{counted.unreachable} left out"] if counted.unreachable else []
    parts += [f"{len(choice.folded)} moved by an octave"] if choice.folded else []
    which = f" ({told})" if told else ""
    return f"{_count(counted.notes, 'note')}: {', '.join(parts)}{which}."


def _air(counted: Verdict) -> str:
    if counted.margin_l is None:
        return "It cannot be breathed as it stands: a rest is needed."
    return f"Air enough, {counted.margin_l:.1f} litres to spare at the tightest spot."


def why_better(first: Choice, second: Choice, a: Verdict, b: Verdict) -> str:
    """Why one choice stands before another: what it has less of, and what it pays for that."""
    gap = (second.cost - first.cost) / POINT
    less, more = [], []
    for name in ("bends", "overbends", "unreachable", "turns", "leap"):
        mine, other = getattr(a, name), getattr(b, name)
        word = _NAMES[name]
        if mine < other:
            less.append(f"{word} ({mine} against {other})")
        elif mine > other:
            more.append(f"{word} ({mine} against {other})")
    if gap <= 0:
        return "Both cost the same; the first comes first by its order alone."
    told = f"It is {gap:.1f} points easier"
    if less:
        told += f": fewer {_list(less)}"
    if more:
        told += f"{', though' if less else ', though it has'} more {_list(more)}"
    if not less and not more:
        told += _by_the_harp(first, second)
    return told + "."


_NAMES = {
    "bends": "bends",
    "overbends": "overbends",
    "unreachable": "notes left out",
    "turns": "breath turns",
    "leap": "holes in the farthest move",
}


def _by_the_harp(first: Choice, second: Choice) -> str:
    if first.harp.tuning.name != second.harp.tuning.name:
        return f": {first.harp.tuning.name} is the more usual tuning"
    if abs(first.shift_semitones) < abs(second.shift_semitones):
        return ": the melody is moved less"
    if first.harp.variant is Variant.STANDARD and second.harp.variant is not Variant.STANDARD:
        return ": its harp is of the usual register"
    return ": its moves are shorter or have more time"


def _list(items: Sequence[str]) -> str:
    return items[0] if len(items) == 1 else ", ".join(items[:-1]) + " and " + items[-1]


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"
