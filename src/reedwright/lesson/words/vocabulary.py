"""Notes, lengths and places of the count in words: exact, so that they can be read back.

Conventions: lengths and places in counted beats, exact; a length that has no name of its own is
tied from named ones, or told as a part of a beat. Names of notes are the trade's ("3 draw bent a
whole step").
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import cached_property

from reedwright.harp.note import Breath, TabNote
from reedwright.lesson.words.wording import Wording
from reedwright.tune.events import Event
from reedwright.tune.marks import RATED, Mark, MarkKind
from reedwright.tune.tokens import format_rate
from reedwright.tune.values import Sound

_MARKS = {kind: kind.name.lower() for kind in MarkKind}
_STEPPED = (MarkKind.DIP, MarkKind.FALL)
_SIMPLE = {
    Fraction(1, 2): "half",
    Fraction(1, 4): "quarter",
    Fraction(3, 4): "three-quarters",
    Fraction(1, 3): "third",
    Fraction(2, 3): "two-thirds",
}
_COMPOUND = {Fraction(1, 3): "compound-third", Fraction(2, 3): "compound-two-thirds"}


MOST_TIED = 8
"""Values tied to one note at most; a longer row is told as a part of a beat (from memory)."""


class Vocabulary:
    """The words of one language for tunes of one kind of meter."""

    def __init__(self, wording: Wording, *, compound: bool, choruses: int = 1) -> None:
        self.wording, self.compound, self._choruses = wording, compound, choruses

    def depth(self, semitones: int, section: str = "depth") -> str:
        """`a half step`, `a whole step`, `a step and a half`; as `half-step` in section `bend`."""
        depths = self.wording.words[section]
        if str(semitones) in depths:
            return str(depths[str(semitones)])
        return str(depths["more"]).format(count=self.number(semitones))

    def number(self, count: int) -> str:
        """A small number as a word, a larger one in figures."""
        return str(self.wording.words["count"].get(str(count), count))

    def note(self, note: TabNote, bent: str = "bent") -> str:
        """`4 draw`, `3 draw bent a whole step`, `6 overblow`; `bent` names the form of a bend."""
        word = self.wording.word
        blown = note.breath is Breath.BLOW
        if note.over:
            breath = word("word", "overblow" if blown else "overdraw")
        else:
            breath = word("word", "blow" if blown else "draw")
        said = word("word", "note", hole=note.hole, breath=breath)
        if note.bend:
            section = "depth" if bent == "bent" else "bend"
            said = word("word", bent, note=said, depth=self.depth(note.bend, section))
        return word("word", "button", note=said) if note.button else said

    def short(self, sound: Sound) -> str:
        """What sounds, as it is spoken of after "the": `4 draw half-step bend`."""
        if sound.shake is not None:
            low, high = self.note(sound.notes[0], "bend"), self.note(sound.shake, "bend")
            return self.wording.word("word", "shake-short", low=low, high=high)
        return self.note(sound.notes[0], "bend") if len(sound.notes) == 1 else self.tab(sound)

    def caption(self, sound: Sound) -> str:
        """What sounds with its marks, for reading: `4 draw, half-step bend, accented`."""
        single = len(sound.reeds) == 1
        said = self.note(sound.notes[0], "bend-caption") if single else self.tab(sound)
        return ", ".join([said, *map(self._mark, sound.marks)])

    def tab(self, sound: Sound) -> str:
        """What sounds, without its marks."""
        word = self.wording.word
        if sound.shake is not None:
            low, high = self.note(sound.notes[0]), self.note(sound.shake)
            said = word("word", "shake", low=low, high=high)
            return self._rated(said, sound.shake_rate)
        notes = sound.notes
        if len(notes) == 1:
            return self.note(notes[0])
        if any(note != TabNote(note.hole, notes[0].breath) for note in notes):
            joined = word("word", "mixed-join").join(map(self.note, notes))
            return word("word", "mixed", notes=joined)
        holes = "-".join(str(note.hole) for note in notes)
        beside = notes[-1].hole - notes[0].hole == len(notes) - 1
        breath = word("word", "blow" if notes[0].breath is Breath.BLOW else "draw")
        return word("word", "chord" if beside else "split", holes=holes, breath=breath)

    def sound(self, sound: Sound) -> str:
        """What sounds, with its marks."""
        return " ".join([self.tab(sound), *map(self._mark, sound.marks)])

    def event(self, event: Event) -> str:
        return self.sound(event.sound)

    def _mark(self, mark: Mark) -> str:
        name = _MARKS[mark.kind]
        if mark.kind in _STEPPED:
            return self.wording.word("mark", name, depth=self.depth(int(mark.amount)))
        if mark.kind is MarkKind.RAKE:
            return self.wording.word("mark", name, hole=mark.amount)
        said = self.wording.word("mark", name)
        return self._rated(said, mark.amount) if mark.kind in RATED else said

    def _rated(self, what: str, rate: Fraction) -> str:
        if not rate:
            return what
        return self.wording.word("word", "rated", what=what, rate=format_rate(rate)[1:])

    @cached_property
    def values(self) -> dict[Fraction, tuple[str, str]]:
        """Named lengths, longest first: one and several."""
        table = self.wording.words["compound" if self.compound else "simple"]
        found = {Fraction(length): (str(one), str(many)) for length, (one, many) in table.items()}
        return dict(sorted(found.items(), reverse=True))

    def value(self, length: Fraction) -> str:
        """`a dotted quarter`, `a half note tied to an eighth`, `5/7 of a beat`."""
        return self._joined(length, "tie")

    def rest(self, length: Fraction) -> str:
        """`a rest of a quarter`, `a rest of a half note plus an eighth`."""
        return self.wording.word("word", "rest", value=self._joined(length, "plus"))

    def _joined(self, length: Fraction, join: str) -> str:
        pieces = self._tied(length)
        if pieces is None:
            return self.wording.word("word", "part", part=length)
        said = self.values[pieces[0]][0]
        for piece in pieces[1:]:
            said = self.wording.word("word", join, value=said, other=self.values[piece][0])
        return said

    def _tied(self, length: Fraction) -> list[Fraction] | None:
        """Named lengths that add up to it, as few as a greedy choice finds; None for none."""
        pieces: list[Fraction] = []
        for value in self.values:
            while value <= length and len(pieces) < MOST_TIED:
                pieces.append(value)
                length -= value
        return None if length else pieces

    def place(self, beat: Fraction) -> str:
        """`on 3`, `on the and of 4`: where a note falls; `beat` counts from 1."""
        whole, rest = divmod(beat, 1)
        if not rest:
            return self.wording.word("place", "on", beat=whole)
        name = (_COMPOUND if self.compound else _SIMPLE).get(rest)
        if name is None:
            return self.wording.word("place", "other", part=rest, beat=whole)
        return self.wording.word("place", name, beat=whole)

    def bar(self, event: Event, *, chorus: bool = True) -> str:
        """`bar 2`, `bar 2 of chorus 3`, `the pickup`; `chorus`: whether it is said, if there are
        several."""
        if event.bar == 0:
            return self.wording.word("place", "pickup")
        if self._choruses == 1 or not chorus:
            return self.wording.word("place", "bar", bar=event.bar)
        return self.wording.word("place", "chorus-bar", bar=event.bar, chorus=event.chorus)

    def listed(self, words: Sequence[str]) -> str:
        """`a`, `a and b`, `a, b and c`."""
        *first, last = words
        return ", ".join(first) + self.wording.word("word", "and") + last if first else last
