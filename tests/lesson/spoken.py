"""Reads a piece of music back from what a teacher says of it, from the words alone.

Written for the tests, with tables of its own: nothing here reads the wording or the vocabulary of
the program. Names of values and of techniques: common practice, no source.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from reedwright.harp.note import Breath, TabNote
from reedwright.tune.marks import Mark, MarkKind
from reedwright.tune.values import Sound

_NUMBERS = (
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)
_DOTTED, _TRIPLET = Fraction(3, 2), Fraction(2, 3)
_PLAIN = {
    "whole note": Fraction(4),
    "half note": Fraction(2),
    "half": Fraction(2),
    "quarter": Fraction(1),
    "eighth": Fraction(1, 2),
    "sixteenth": Fraction(1, 4),
    "thirty-second": Fraction(1, 8),
}
_VALUE = (
    r"an? (?:dotted |triplet )?(?:whole note|half note|half|quarter|eighth|sixteenth|thirty-second)"
)
_MANY = (
    r"(?:dotted |triplet )?"
    r"(?:whole notes|half notes|halves|quarters|eighths|sixteenths|thirty-seconds)"
)
_COUNT = r"(?:" + "|".join(_NUMBERS[1:]) + r"|\d+)"
_SOUND = r"(?:\d|a shake)"
_START = re.compile(
    rf"a rest of (?:{_VALUE}|\d)|{_VALUE}(?: tied to {_VALUE})* on {_SOUND}"
    rf"|{_COUNT} {_MANY}, {_SOUND}|\d+/\d+ of a beat on {_SOUND}|\d+ of a beat on {_SOUND}"
)
_PLACES = {
    "on beat": Fraction(0),
    "on the and of": Fraction(1, 2),
    "on the e of": Fraction(1, 4),
    "on the a of": Fraction(3, 4),
    "on the middle triplet of": Fraction(1, 3),
    "on the last triplet of": Fraction(2, 3),
}
_PLACE = re.compile(rf"({'|'.join(_PLACES)}) (\d+)|(\d+/\d+) of a beat after (\d+)")
_DEPTHS = {"a half step": 1, "a whole step": 2, "a step and a half": 3}
_DEPTH = r"(a half step|a whole step|a step and a half|(?:four|five) half steps)"
_MARKS: tuple[tuple[str, MarkKind], ...] = (
    (rf" dipped in from {_DEPTH} below", MarkKind.DIP),
    (r" raked in from hole (\d+)", MarkKind.RAKE),
    (r" with throat vibrato(?:, ([\d/.]+) to the beat)?", MarkKind.THROAT),
    (r" with hand vibrato(?:, ([\d/.]+) to the beat)?", MarkKind.HAND),
    (r" with hand wah(?:, ([\d/.]+) to the beat)?", MarkKind.WAH),
    (r" with flutter tongue", MarkKind.FLUTTER),
    (r" with a tongue slap", MarkKind.SLAP),
    (r" with a tongue pull", MarkKind.PULL),
    (r" tongue blocked", MarkKind.BLOCKED),
    (rf" falling off {_DEPTH}", MarkKind.FALL),
    (r" accented", MarkKind.ACCENT),
    (r" ghosted", MarkKind.GHOST),
)


@dataclass(frozen=True)
class Heard:
    """A note as it was told: start in beats from the first one of its piece."""

    start: Fraction
    length: Fraction
    sound: Sound


@dataclass(frozen=True)
class Start:
    """Where a piece begins: bar 0 is a pickup; `counted` is what is counted before it."""

    chorus: int | None
    bar: int
    beat: Fraction
    counted: tuple[int, ...]


def lists(sentences: Iterable[str]) -> list[str]:
    """The sentences that hold notes, from where their list begins."""
    found = ((sentence, _START.search(sentence)) for sentence in sentences)
    return [sentence[match.start() :] for sentence, match in found if match]


def heard(sentences: Iterable[str], *, compound: bool) -> list[Heard]:
    """All the notes of a piece."""
    notes: list[Heard] = []
    at = Fraction(0)
    for text in lists(sentences):
        reader = _Reader(text, compound)
        for length, sounds in reader.items():
            if not sounds:
                at += length
            for sound in sounds:
                notes.append(Heard(at, length, sound))
                at += length
    return notes


def start_of(sentences: list[str], *, compound: bool) -> Start:
    """Where it begins, from the sentence before the first that holds notes."""
    first = next(n for n, sentence in enumerate(sentences) if _START.search(sentence))
    text = sentences[first - 1]
    place = _PLACE.search(text)
    assert place is not None, text
    counted = re.search(r"(?<![\w/])1(?:, \d+)*(?=\D)", _PLACE.sub("", _without_bars(text)))
    numbers = tuple(map(int, counted[0].split(", "))) if counted else ()
    chorus = re.search(r"in chorus (\d+)", text)
    bars = [int(bar) for bar in re.findall(r"\bbar (\d+)", text)]
    pickup = "count-in" in text
    return Start(
        int(chorus[1]) if chorus else None,
        0 if pickup else min(bars),
        beat_of(place, compound),
        numbers,
    )


def beat_of(place: re.Match[str], compound: bool) -> Fraction:
    """The beat a phrase like `on the and of 2` means."""
    if place[3]:
        return int(place[4]) + Fraction(place[3])
    part = _PLACES[place[1]]
    if compound and part:  # one and a
        part = Fraction(1, 3) if "and" in place[1] else Fraction(2, 3)
    return int(place[2]) + part


def _without_bars(text: str) -> str:
    return re.sub(r"(?i)\b(bar|chorus) \d+", "", text)


class _Reader:
    """Reads one list of notes from left to right; whatever it cannot read is a failure."""

    def __init__(self, text: str, compound: bool) -> None:
        self._text, self._compound, self._at = text, compound, 0

    def items(self) -> list[tuple[Fraction, list[Sound]]]:
        found = [self._item()]
        while self._take(", then "):
            found.append(self._item())
        assert self._text[self._at :] == ".", self._text[self._at :]
        return found

    def _item(self) -> tuple[Fraction, list[Sound]]:
        if self._take("a rest of "):
            length = self._value()
            while self._take(" plus "):
                length += self._value()
            return length, []
        many = self._match(rf"({_COUNT}) ({_MANY}), ")
        if many is None:
            length = self._value()
            while self._take(" tied to "):
                length += self._value()
            assert self._take(" on "), self._text[self._at :]
            return length, [self._sound()]
        count, sounds = _number(many[1]), self._sounds()
        assert len(sounds) == count, self._text
        return self._length(many[2].replace("halves", "half")), sounds

    def _sounds(self) -> list[Sound]:
        sounds = self._counted()
        while self._match(r", (?=\d|a shake)") or self._match(r" and (?=\d|a shake)"):
            sounds += self._counted()
        return sounds

    def _counted(self) -> list[Sound]:
        sound = self._sound()
        if self._take(" twice"):
            return [sound] * 2
        times = self._match(rf" ({_COUNT}) times")
        return [sound] * (_number(times[1]) if times else 1)

    def _sound(self) -> Sound:
        if self._take("a shake of "):
            low = self._note()
            assert self._take(" and ")
            high = self._note()
            rate = self._match(r", ([\d/.]+) to the beat")
            return Sound((low,), high, Fraction(rate[1]) if rate else Fraction(0), self._marks())
        chord = self._match(r"(\d+(?:-\d+)+) (blow|draw)( split)?")
        if chord:
            holes = [int(hole) for hole in chord[1].split("-")]
            assert bool(chord[3]) == (holes[-1] - holes[0] >= len(holes))
            notes = tuple(TabNote(hole, _breath(chord[2])) for hole in holes)
            return Sound(notes, marks=self._marks())
        mixed = [self._note()]
        while self._match(r" with (?=\d)"):
            mixed.append(self._note())
        assert (len(mixed) > 1) == self._take(" together")
        return Sound(tuple(mixed), marks=self._marks())

    def _note(self) -> TabNote:
        found = self._match(
            rf"(\d+) (blow|draw|overblow|overdraw)(?: bent {_DEPTH})?( with the button in)?"
        )
        assert found is not None, self._text[self._at :]
        over, breath = found[2].startswith("over"), _breath(found[2].removeprefix("over"))
        return TabNote(int(found[1]), breath, _depth(found[3]), over, bool(found[4]))

    def _marks(self) -> tuple[Mark, ...]:
        marks: list[Mark] = []
        while True:
            for pattern, kind in _MARKS:
                match = self._match(pattern)
                if match:
                    marks.append(Mark(kind, _amount(kind, match)))
                    break
            else:
                return tuple(marks)

    def _value(self) -> Fraction:
        part = self._match(r"(\d+(?:/\d+)?) of a beat")
        if part:
            return Fraction(part[1])
        found = self._match(_VALUE)
        assert found is not None, self._text[self._at :]
        return self._length(found[0].partition(" ")[2])

    def _length(self, name: str) -> Fraction:
        """In counted beats: quarters, or dotted quarters in a compound meter."""
        kind, _, rest = name.partition(" ")
        bare = rest if kind in ("dotted", "triplet") else name
        length = next(one for word, one in _PLAIN.items() if bare in (word, word + "s"))
        if kind in ("dotted", "triplet"):
            length *= _DOTTED if kind == "dotted" else _TRIPLET
        return length / _DOTTED if self._compound else length

    def _take(self, text: str) -> bool:
        return self._match(re.escape(text)) is not None

    def _match(self, pattern: str) -> re.Match[str] | None:
        match = re.compile(pattern).match(self._text, self._at)
        if match:
            self._at = match.end()
        return match


def _number(text: str) -> int:
    return int(text) if text.isdigit() else _NUMBERS.index(text) + 1


def _breath(text: str) -> Breath:
    return Breath.BLOW if text == "blow" else Breath.DRAW


def _depth(text: str | None) -> int:
    if text is None:
        return 0
    return _DEPTHS.get(text) or _number(text.partition(" ")[0])


def _amount(kind: MarkKind, match: re.Match[str]) -> Fraction:
    if kind in (MarkKind.DIP, MarkKind.FALL):
        return Fraction(_depth(match[1]))
    return Fraction(match[1]) if match.re.groups and match[1] else Fraction(0)
