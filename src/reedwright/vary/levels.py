"""A whole tune made easier or harder for another level, change by change.

Conventions: easier: what the level does not have gives way to the nearest natural tone of the chord
(a bend), to its lowest note (a chord, a split), to its first note (a shake) or is left out (a
mark); a leap of many holes in little time is halved. Harder: where the level has the technique, a
long note is dipped into or gets vibrato, and the third of the chord on a strong beat is leaned into
from its bend. A change that the checks complain of is not made. Figures: from memory.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from reedwright.check.check import check
from reedwright.errors import TuneError
from reedwright.harp.law import bend_limit, higher_breath
from reedwright.tune.barring import TimedSound
from reedwright.tune.marks import Mark, MarkKind
from reedwright.tune.place import Score, place
from reedwright.tune.techniques import ladder, techniques_of
from reedwright.tune.tokens import format_sound
from reedwright.tune.tune import Tune
from reedwright.tune.values import Comment, Header, Lick, Remark, Sound, TuneText
from reedwright.vary.line import Line, line_of
from reedwright.vary.palette import Chords, Palette, chords_of, palette_of, placement_of, strong
from reedwright.vary.proposals import complaints, rewritten

LEAP_HOLES, LEAP_S = 3, 0.6
LONG_BEATS, VIBRATO_BEATS = Fraction(3, 2), Fraction(2)


@dataclass(frozen=True, slots=True)
class Change:
    """One change: the lick's name, bar and beat in it, what was and is written, and why."""

    lick: str
    bar: int
    beat: Fraction
    was: str
    now: str
    why: str


@dataclass(frozen=True, slots=True)
class Levelled:
    """A tune for another level, and every change made to it."""

    text: TuneText
    changes: tuple[Change, ...]


def for_level(score: Score, level: str) -> Levelled:
    """The tune for a level of the ladder: easier where it asks for more, harder where it asks for
    less. Errors: TuneError for a level that is none."""
    editor = _Editor(score, level)
    for name in score.tune.licks:
        placement = placement_of(score, name)
        if placement is not None:
            editor.edit(
                line_of(score.tune.licks[name], score.tune.meter.beats), chords_of(score, placement)
            )
    return Levelled(editor.text(), tuple(editor.changes))


def _head(text: TuneText, level: str) -> tuple[Header | Remark | Comment, ...]:
    """The header with the level for its student."""
    own = ("student", "can", "not yet")
    kept = [
        item for item in text.head if not (isinstance(item, Header) and item.key.lower() in own)
    ]
    last = max((at for at, item in enumerate(kept) if isinstance(item, Header)), default=-1)
    return (*kept[: last + 1], Header("Student", level), *kept[last + 1 :])


class _Editor:
    """Edits the licks of one tune, one change at a time."""

    def __init__(self, score: Score, level: str) -> None:
        self._tune = score.tune
        self._abilities = ladder().of_level(level)
        self._head = _head(score.tune.text, level)
        self._palette = palette_of(score.tune, self._abilities)
        self._beat_s = float(60 / score.tune.full_tempo_bpm)
        self._licks: dict[str, Lick] = {}
        self.changes: list[Change] = []
        self._complaints = complaints(check(place(self._with({}))))

    def text(self) -> TuneText:
        return self._with(self._licks).text

    def _with(self, licks: dict[str, Lick]) -> Tune:
        return rewritten(self._tune, replace(self._tune.text, head=self._head), licks)

    def edit(self, line: Line, chords: Chords) -> None:
        """Make the changes a lick needs, then those it can take, each kept if the checks agree."""
        for rule in (
            _Simpler(self._tune, self._palette, self._abilities, self._beat_s, chords),
            _Richer(self._tune, self._palette, self._abilities, self._beat_s, chords),
        ):
            at = 0
            while at < len(line.notes):
                made = rule.change(line, at)
                if made is not None:
                    line = self._tried(line, at, *made)
                at += 1

    def _tried(self, line: Line, at: int, notes: tuple[TimedSound, ...], why: str) -> Line:
        new = line.with_notes((*line.notes[:at], *notes, *line.notes[at + 1 :]))
        slug = line.lick.slug
        licks = self._licks | {slug: new.written()}
        try:
            report = check(place(self._with(licks)))
        except TuneError:
            return line
        found = complaints(report)
        if not new.fits() or not found <= self._complaints:
            return line
        self._licks, self._complaints = licks, found
        was = line.notes[at]
        self.changes.append(
            Change(
                lick=line.lick.name,
                bar=int(was.start // line.beats) + 1,
                beat=was.start % line.beats + 1,
                was=format_sound(was.sound, self._tune.signed),
                now="&".join(format_sound(note.sound, self._tune.signed) for note in notes),
                why=why,
            )
        )
        return new


_Made = tuple[tuple[TimedSound, ...], str]


@dataclass(frozen=True, slots=True)
class _Rule:
    """What a rule looks at."""

    tune: Tune
    palette: Palette
    abilities: frozenset[str]
    beat_s: float
    chords: Chords

    def missing(self, sound: Sound) -> str:
        """The first technique a sound asks for that the level does not have; empty for none."""
        asked = techniques_of(sound, self.tune.harp)
        return next((each for each in asked if each not in self.abilities), "")

    def pitch(self, note: TimedSound) -> int:
        return self.tune.harp.midi(note.sound.notes[0])

    def near(self, line: Line, at: int, pitch: int) -> Sound | None:
        """The natural tone of the chord nearest to a pitch, on a hole near the note before."""
        beside = line.notes[at - 1].sound.notes[0] if at else None
        plain = self.palette.natural()
        found = plain.near(pitch, self.chords.tones_at(line.notes[at].start), beside=beside)
        return None if found is None else Sound((found,))


class _Simpler(_Rule):
    """Takes away what a level does not have, and leaps."""

    __slots__ = ()

    def change(self, line: Line, at: int) -> _Made | None:
        """What the note at a place becomes, and why; None where it may stay."""
        note = line.notes[at]
        missing = self.missing(note.sound)
        if not missing:
            return self._smaller_leap(line, at)
        asked = f"{ladder().techniques[missing].name} comes later"
        bare = replace(note.sound, marks=())
        if not self.missing(bare):
            kept = tuple(m for m in note.sound.marks if not self.missing(replace(bare, marks=(m,))))
            return (
                replace(note, sound=replace(note.sound, marks=kept)),
            ), f"{asked}; the note stays."
        first = Sound(note.sound.notes[:1], marks=())
        if not note.single and not self.missing(first):
            return (replace(note, sound=first),), f"{asked}; its first hole stays."
        sound = self.near(line, at, self.pitch(note))
        if sound is None:
            return None
        return (replace(note, sound=sound),), f"{asked}; this is the nearest tone of the chord."

    def _smaller_leap(self, line: Line, at: int) -> _Made | None:
        if not at or not (line.notes[at].single and line.notes[at - 1].single):
            return None
        before, note = line.notes[at - 1], line.notes[at]
        holes = abs(note.sound.notes[0].hole - before.sound.notes[0].hole)
        time_s = float(note.start - before.start) * self.beat_s
        if holes <= LEAP_HOLES or time_s >= LEAP_S:
            return None
        sound = self.near(line, at, (self.pitch(before) + self.pitch(note)) // 2)
        if sound is None or abs(sound.notes[0].hole - before.sound.notes[0].hole) >= holes:
            return None
        return (
            replace(note, sound=sound),
        ), f"a leap of {holes} holes in {time_s:.1f} s is halved."


class _Richer(_Rule):
    """Adds what a level has and the tune does not ask for."""

    __slots__ = ()

    def change(self, line: Line, at: int) -> _Made | None:
        """What the note at a place becomes, and why; None where nothing is added."""
        note = line.notes[at]
        if (
            not note.single
            or note.sound.marks
            or note.sound.notes[0].bend
            or note.sound.notes[0].over
        ):
            return None
        return self._leant(line, note) or self._dipped(note) or self._swaying(note)

    def _leant(self, line: Line, note: TimedSound) -> _Made | None:
        """The third of the chord on a strong beat, come to from its half-step bend."""
        chord, tab = self.chords.at(note.start), note.sound.notes[0]
        third = chord is not None and (self.pitch(note) - chord.root) % 12 == 4
        bends = bend_limit(self.tune.harp.tuning, tab.hole, tab.breath) > 0
        if not third or not bends or note.length < 1 or not strong(note.start, line.beats):
            return None
        bent = Sound((replace(tab, bend=1),))
        if self.missing(bent):
            return None
        half = Fraction(1, 2)
        lead = TimedSound(note.start, half, bent)
        rest = replace(note, start=note.start + half, length=note.length - half)
        return (lead, rest), "the third of the chord is leaned into from its half-step bend."

    def _dipped(self, note: TimedSound) -> _Made | None:
        tab = note.sound.notes[0]
        higher = higher_breath(self.tune.harp.tuning, tab.hole) is tab.breath
        dip = replace(note.sound, marks=(Mark(MarkKind.DIP, Fraction(1)),))
        bends = bend_limit(self.tune.harp.tuning, tab.hole, tab.breath) > 0
        if note.length < LONG_BEATS or not higher or not bends or self.missing(dip):
            return None
        return (replace(note, sound=dip),), "a long note is dipped into."

    def _swaying(self, note: TimedSound) -> _Made | None:
        if note.length < VIBRATO_BEATS:
            return None
        for kind, name in ((MarkKind.THROAT, "throat"), (MarkKind.HAND, "hand")):
            sound = replace(note.sound, marks=(Mark(kind),))
            if not self.missing(sound):
                return (replace(note, sound=sound),), f"a long note gets {name} vibrato."
        return None
