"""Variations of one lick: a new ending, a shifted rhythm, another chord, an answer.

Conventions: each rule takes a line and gives lines with what changed and why, in words; none looks
at whether the result can be played, which the checks do afterwards. Only single notes are changed;
chords, splits and shakes stay. Rules: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from reedwright.harp.note import TabNote
from reedwright.tune.barring import TimedSound
from reedwright.tune.chords import Chord
from reedwright.tune.values import Sound
from reedwright.vary.line import Line
from reedwright.vary.palette import Chords, Palette, strong

_HALF = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Idea:
    """A varied line. `rule`: which kind of variation; `changed` and `why` are sentences."""

    rule: str
    line: Line
    changed: str
    why: str


def plain(note: TabNote) -> Sound:
    return Sound((note,))


def endings(line: Line, palette: Palette, chords: Chords) -> Iterator[Idea]:
    """The same landing note, come to another way: the one or two notes before it are new."""
    if len(line.notes) < 3 or not all(note.single for note in line.notes[-3:]):
        return
    landing = line.notes[-1]
    target = palette.harp.midi(landing.sound.notes[0])
    ways = {
        "from above by step": (_steps(palette, target, 2), _steps(palette, target, 1)),
        "from below by step": (_steps(palette, target, -2), _steps(palette, target, -1)),
        "from both sides": (_steps(palette, target, 1), _steps(palette, target, -1)),
        "through the chord": _through(palette, chords, landing, target),
        "from the note itself": (target, _steps(palette, target, -1)),
    }
    for how, pitches in ways.items():
        notes = _replaced(line.notes[-3:-1], pitches, palette, landing.sound.notes[0])
        if notes is not None:
            yield Idea(
                "ending",
                line.with_notes((*line.notes[:-3], *notes, landing)),
                f"The last two notes before the landing come {how}.",
                "It lands on the same note, so what follows still fits.",
            )


def _steps(palette: Palette, pitch: int, count: int) -> int | None:
    by = 1 if count > 0 else -1
    found: int | None = pitch
    for _ in range(abs(count)):
        found = None if found is None else palette.step(found, by)
    return found


def _through(
    palette: Palette, chords: Chords, landing: TimedSound, target: int
) -> tuple[int | None, int | None]:
    """The two tones of the landing's chord next above it, the farther first."""
    tones = chords.tones_at(landing.start)
    above = [pitch for pitch in palette.pitches if pitch > target and pitch % 12 in tones]
    pair = list(dict.fromkeys(above))[:2]
    return (pair[1], pair[0]) if len(pair) == 2 else (None, None)


def _replaced(
    notes: tuple[TimedSound, ...],
    pitches: tuple[int | None, ...],
    palette: Palette,
    beside: TabNote,
) -> tuple[TimedSound, ...] | None:
    made = []
    for note, pitch in zip(notes, pitches, strict=True):
        way = None if pitch is None else palette.of(pitch, beside)
        if way is None:
            return None
        made.append(replace(note, sound=plain(way)))
    return tuple(made)


def shifts(line: Line) -> Iterator[Idea]:
    """The same notes half a beat later or earlier, and with long and short changed about."""
    for by, word in ((_HALF, "later"), (-_HALF, "earlier")):
        moved = _squeezed(line, [replace(note, start=note.start + by) for note in line.notes])
        yield Idea(
            "rhythm",
            moved,
            f"Everything comes half a beat {word}.",
            "The same notes against the beat: what was on it is now between.",
        )
    swapped = _swapped(line)
    if swapped is not None:
        yield Idea(
            "rhythm",
            swapped,
            "Where a short note led to a longer one, the longer comes first.",
            "The same notes with another weight.",
        )


def _squeezed(line: Line, notes: list[TimedSound]) -> Line:
    """Cut what would stand outside the lick's bars; what is left of a note stays."""
    kept = []
    for note in notes:
        start, end = max(note.start, line.begin), min(note.end, line.end)
        if end - start >= Fraction(1, 4):
            kept.append(replace(note, start=start, length=end - start))
    return line.with_notes(kept)


def _swapped(line: Line) -> Line | None:
    notes = list(line.notes)
    changed = False
    at = 0
    while at + 1 < len(notes):
        first, second = notes[at], notes[at + 1]
        if first.end == second.start and first.length < second.length:
            notes[at] = replace(first, length=second.length)
            notes[at + 1] = replace(second, start=first.start + second.length, length=first.length)
            changed = True
            at += 2
        else:
            at += 1
    return line.with_notes(notes) if changed else None


def to_chord(line: Line, palette: Palette, chords: Chords, chord: Chord, name: str) -> Idea | None:
    """Every note on the tone of another chord that it was of its own; others by the same step."""
    notes = []
    before: TabNote | None = None
    for note in line.notes:
        if not note.single:
            return None
        old = palette.harp.midi(note.sound.notes[0])
        under = chords.at(note.start)
        root = palette.key if under is None else under.root
        way = palette.near(old, frozenset({_same_tone(old, root, under, chord)}), beside=before)
        if way is None:
            return None
        before = way
        kept = tuple(mark for mark in note.sound.marks if mark.kind.value not in "/\\>")
        notes.append(replace(note, sound=Sound((way,), marks=kept)))
    return Idea(
        "chord",
        line.with_notes(notes),
        f"Every note is on the tone of the {name} chord that it was of its own.",
        f"The same shape where the form goes to the {name} chord.",
    )


def _same_tone(pitch: int, root: int, under: Chord | None, chord: Chord) -> int:
    """The pitch class that is to the new chord what a pitch was to the old one: third to third."""
    above = (pitch - root) % 12
    if under is not None and above in under.intervals:
        place = under.intervals.index(above)
        if place < len(chord.intervals):
            above = chord.intervals[place]
    return (chord.root + above) % 12


def answers(line: Line, palette: Palette, chords: Chords) -> Iterator[Idea]:
    """A call answered: its rhythm, its contour turned over in its own range, home at the end."""
    pitches = [palette.harp.midi(n.sound.notes[0]) for n in line.notes if n.single]
    if len(pitches) < 3:
        return
    low, high, last = min(pitches), max(pitches), line.notes[-1]
    scale = frozenset((palette.key + step) % 12 for step in palette.scale)
    notes: list[TimedSound] = []
    before: TabNote | None = None
    for note in line.notes:
        if not note.single:
            notes.append(note)
            continue
        wanted = chords.tones_at(note.start) if strong(note.start, line.beats) else scale
        wanted = _home(palette, chords, last) if note is last else wanted
        turned = low + high - palette.harp.midi(note.sound.notes[0])
        way = palette.near(turned, wanted, beside=before)
        if way is None:
            return
        before = way
        notes.append(replace(note, sound=plain(way)))
    if 2 * len({note.sound.reeds for note in notes}) < len(set(pitches)):
        return  # too little is left of the call
    yield Idea(
        "answer",
        line.with_notes(notes),
        "The rhythm of the call, up where it went down, and the root of the chord at the end.",
        "A call leaves something open; the answer closes it.",
    )


def _home(palette: Palette, chords: Chords, last: TimedSound) -> frozenset[int]:
    chord = chords.at(last.start)
    return frozenset({palette.key if chord is None else chord.root})
