"""What makes an arrangement music rather than a demonstration, as far as it can be counted.

Conventions: each measure is a pure function of an arrangement; an empty result or 0 is good unless
it says otherwise. Beats count from 0 in a bar here. Bounds that arrangements are held to stand in
the tests and in docs/band.md; all of them are design figures of ours.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from reedwright.band.bass import LEADING
from reedwright.band.rules import Rules
from reedwright.band.session import chord_under, strong_beats
from reedwright.band.values import Arrangement, BandBar, BandNote, Part
from reedwright.band.voicing import motion
from reedwright.tune.chords import Chord

Place = tuple[int, int]  # chorus and bar, as people count
Bars = dict[Place, list[BandNote]]
COMPING = (Part.GUITAR, Part.KEYS)
SEMITONE = frozenset((1, 11))
"""Semitones apart, octaves left out, of a rub."""


@dataclass(frozen=True, slots=True)
class Clash:
    """A strong beat on which the bass and a chord disagree; `chord_note` None: the bass alone."""

    chorus: int
    bar: int
    beat: int
    bass: int
    chord_note: int | None


def by_bar(notes: tuple[BandNote, ...]) -> Bars:
    """Notes by chorus and bar."""
    found: Bars = defaultdict(list)
    for note in notes:
        found[note.chorus, note.bar].append(note)
    return found


def clashes(arrangement: Arrangement) -> tuple[Clash, ...]:
    """Strong beats on which the bass sounds no note of the chord, or rubs by a semitone against a
    note of the comping when not both are notes of the chord."""
    strong = strong_beats(arrangement.score.tune.meter.beats)
    bass = by_bar(arrangement.notes[Part.BASS])
    comping = [by_bar(arrangement.notes[part]) for part in COMPING]
    found: list[Clash] = []
    for bar in arrangement.bars:
        place = (bar.chorus, bar.bar)
        for beat in strong:
            chord = chord_under(bar, Fraction(beat))
            if chord is not None:
                above = [n.midi for part in comping for n in _sounding(part[place], bar, beat)]
                for low in _sounding(bass[place], bar, beat):
                    found += _clashes(place, beat, low.midi, above, chord)
    return tuple(found)


def _sounding(notes: list[BandNote], bar: BandBar, beat: int) -> list[BandNote]:
    at = bar.start + beat
    return [note for note in notes if note.start <= at < note.end]


def _clashes(place: Place, beat: int, low: int, above: list[int], chord: Chord) -> Iterator[Clash]:
    own = {(chord.root + step) % 12 for step in chord.intervals}
    if low % 12 not in own:
        yield Clash(*place, beat, low, None)
    for high in above:
        if (high - low) % 12 in SEMITONE and not {low % 12, high % 12} <= own:
            yield Clash(*place, beat, low, high)


def most_repeats(
    arrangement: Arrangement, parts: tuple[Part, ...] = tuple(Part), span: int = 4
) -> int:
    """How often the same bar comes in `span` choruses in a row, where it comes most: the same
    notes of the parts at the same places, however loud. The band's ending is left out."""
    bars = _signatures(arrangement, parts)
    choruses = sorted({chorus for chorus, _ in bars})
    most = 0
    for first in choruses:
        counted = Counter(sign for (c, _), sign in bars.items() if first <= c < first + span)
        most = max([most, *counted.values()])
    return most


def alike_choruses(arrangement: Arrangement) -> int:
    """Pairs of choruses in which the band plays the same notes, however loud."""
    bars = _signatures(arrangement, tuple(Part))
    whole: dict[int, list[object]] = defaultdict(list)
    for (chorus, _), sign in sorted(bars.items(), key=lambda item: item[0]):
        whole[chorus].append(sign)
    counted = Counter(tuple(signs) for signs in whole.values())
    return sum(count * (count - 1) // 2 for count in counted.values())


def _signatures(
    arrangement: Arrangement, parts: tuple[Part, ...]
) -> dict[Place, frozenset[object]]:
    notes = [by_bar(arrangement.notes[part]) for part in parts]
    return {
        (bar.chorus, bar.bar): frozenset(
            (note.part, note.start - bar.start, note.length, note.midi)
            for part in notes
            for note in part[bar.chorus, bar.bar]
        )
        for bar in arrangement.bars
        if not bar.ending
    }


def stray_fills(arrangement: Arrangement) -> tuple[Place, ...]:
    """Bars with a fill where the rules allow none."""
    allowed = {(bar.chorus, bar.bar) for bar in arrangement.bars if bar.fill}
    drums = arrangement.notes[Part.DRUMS]
    return tuple(dict.fromkeys((n.chorus, n.bar) for n in drums if n.fill).keys() - allowed)


def out_of_range(arrangement: Arrangement, rules: Rules) -> tuple[BandNote, ...]:
    """Notes outside the range of their part."""
    return tuple(
        note
        for part, (low, high) in rules.ranges.items()
        for note in arrangement.notes[part]
        if not low <= note.midi <= high
    )


def arrivals(arrangement: Arrangement) -> float:
    """The share of bars from which the bass comes to the next bar's first note by a step, a fifth
    or its inversion, an octave, or stays; 1 is best. Bars of one note, and silent ones, do not
    count."""
    bars = by_bar(arrangement.notes[Part.BASS])
    told = [
        abs(bars[b.chorus, b.bar][0].midi - bars[a.chorus, a.bar][-1].midi) in LEADING
        for a, b in pairwise(arrangement.bars)
        if len(bars[a.chorus, a.bar]) > 1 and bars[b.chorus, b.bar]
    ]
    return sum(told) / len(told) if told else 1.0


def mean_motion(arrangement: Arrangement, part: Part) -> float:
    """Semitones that a finger moves on average where the chord changes inside a chorus."""
    moved = [
        motion(one, other) / max(len(one), len(other))
        for (chorus, one), (next_chorus, other) in pairwise(_struck(arrangement, part))
        if one != other and chorus == next_chorus
    ]
    return sum(moved) / len(moved) if moved else 0.0


def _struck(arrangement: Arrangement, part: Part) -> list[tuple[int, tuple[int, ...]]]:
    """Chorus and notes of each chord struck, in order."""
    found: dict[tuple[int, Fraction], list[int]] = defaultdict(list)
    for note in arrangement.notes[part]:
        found[note.chorus, note.start].append(note.midi)
    return [(chorus, tuple(sorted(notes))) for (chorus, _), notes in found.items()]


def silent_bars(arrangement: Arrangement) -> tuple[Place, ...]:
    """Bars in which nobody plays."""
    played = {(note.chorus, note.bar) for part in Part for note in arrangement.notes[part]}
    return tuple(
        (bar.chorus, bar.bar) for bar in arrangement.bars if (bar.chorus, bar.bar) not in played
    )
