"""The parts of a file, which of them is the melody, and the one voice that is taken from it.

Conventions: moments in any one unit (ticks, quarters), as the reader has them; parts are numbered
from 1 in the order of the file. The rule by which a part is chosen, in points of 0 to 1 each: how
much of its time has one note only (counts twice), how near its middle pitch lies to the middle of
melodies, how many notes it has against the part with most, and a name that says melody. Drums are
never chosen. Where the two best are closer than CLOSE, nobody but the teacher can tell. All numbers
from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import median

from reedwright.errors import Problem, one_line
from reedwright.fit.melody import MelodyError

MAX_READ_NOTES = 10_000
"""Notes of one part: hours of a tune, and a bound on what a search may take."""

CLOSE = 0.25
_MIDDLE, _NEAR = 70.0, 24.0  # MIDI; two octaves away is far
_NAMES = ("melody", "melodie", "lead", "vocal", "voice", "voix", "solo", "harmonica", "tune")
MAX_PARTS_SHOWN = 12


@dataclass(frozen=True, slots=True)
class RawNote:
    """A note as the file has it; `end` after `start`."""

    start: Fraction
    end: Fraction
    pitch: int


@dataclass(frozen=True, slots=True)
class Line:
    """One part: notes in order of their starts."""

    number: int
    name: str
    notes: tuple[RawNote, ...]
    drums: bool = False

    @property
    def alone(self) -> float:
        """The share of its sounding time with one note only."""
        return _alone(self.notes)

    def __str__(self) -> str:
        kind = "drums" if self.drums else f"{round(100 * self.alone)}% one voice"
        name = f" {one_line(self.name)[:40]}" if self.name.strip() else ""
        return f"{self.number}{name} ({len(self.notes)} notes, {kind})"


def chosen(lines: Sequence[Line], part: int | None) -> Line:
    """The part asked for, or the melody.

    Errors: MelodyError where there are no notes, only drums, no such part, or too close a call.
    """
    full = [line for line in lines if line.notes]
    if part is not None:
        return _asked(full, part)
    if not full:
        raise _error("no notes in this file", "A melody has at least one", "name another file")
    melodic = [line for line in full if not line.drums]
    if not melodic:
        raise _error("drums only", "A harp plays pitches", "name a file with a melody")
    return _limited(_best(melodic))


def _asked(full: Sequence[Line], part: int) -> Line:
    line = next((line for line in full if line.number == part), None)
    if line is None:
        raise _error(f"no notes in part {part}", f"Parts with notes: {_listed(full)}", "name one")
    if line.drums:
        raise _error(f"part {part} is drums", "A harp plays pitches", "name another part")
    return _limited(line)


def _best(lines: Sequence[Line]) -> Line:
    if len(lines) == 1:
        return lines[0]
    most = max(len(line.notes) for line in lines)
    ranked = sorted(lines, key=lambda line: -_points(line, most))
    first, second = ranked[0], ranked[1]
    if _points(first, most) - _points(second, most) < CLOSE:
        raise _error(
            f"{len(lines)} parts, and no one is clearly the melody",
            f"They are: {_listed(ranked)}",
            f"choose one, such as --part {first.number}",
        )
    return first


def _points(line: Line, most: int) -> float:
    middle = median(note.pitch for note in line.notes)
    named = any(name in line.name.lower() for name in _NAMES)
    near = max(0.0, 1.0 - abs(middle - _MIDDLE) / _NEAR)
    return 2.0 * line.alone + near + len(line.notes) / most + named


def _listed(lines: Sequence[Line]) -> str:
    told = "; ".join(map(str, lines[:MAX_PARTS_SHOWN])) or "none"
    more = len(lines) - MAX_PARTS_SHOWN
    return told + (f"; and {more} more" if more > 0 else "")


def _limited(line: Line) -> Line:
    if len(line.notes) > MAX_READ_NOTES:
        raise too_many(len(line.notes))
    return line


def too_many(count: int) -> MelodyError:
    """What is said of a part that is longer than any tune."""
    return _error(
        f"{count:,} notes in one part",
        f"A melody has at most {MAX_READ_NOTES:,}",
        "cut a part of it into a file of its own",
    )


def top_voice(notes: Sequence[RawNote]) -> tuple[tuple[RawNote, ...], int]:
    """One note at a time, the highest, and how many notes were not taken. Linear but for sorting.

    A higher note that begins cuts a lower one; a lower one that begins under a higher one that
    sounds on for more than half of it is not taken, else the higher ends there: players of keys
    let go late.
    """
    kept: list[RawNote] = []
    for note in sorted(notes, key=lambda each: (each.start, -each.pitch, -each.end)):
        last = kept[-1] if kept else None
        if last is None or note.start >= last.end:
            kept.append(note)
            continue
        under = min(last.end, note.end) - note.start
        hidden = note.pitch < last.pitch and 2 * under > note.end - note.start
        if note.start == last.start or hidden:
            continue
        kept[-1] = RawNote(last.start, note.start, last.pitch)
        kept.append(note)
    return tuple(kept), len(notes) - len(kept)


def _alone(notes: Sequence[RawNote]) -> float:
    """Of the time in which something sounds, the share in which one note does."""
    ends = [(note.start, 1) for note in notes] + [(note.end, -1) for note in notes]
    ends.sort()
    one = some = Fraction(0)
    sounding, last = 0, Fraction(0)
    for moment, step in ends:
        if sounding:
            some += moment - last
            one += (moment - last) if sounding == 1 else 0
        sounding, last = sounding + step, moment
    return float(one / some) if some else 0.0


def _error(found: str, rule: str, mend: str) -> MelodyError:
    return MelodyError(str(Problem(found, rule, mend)))
