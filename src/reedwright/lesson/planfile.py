"""The order of a lesson as text, `NAME.plan` beside `NAME.reed`.

Grammar, line by line (capitals and spaces between words do not matter; empty lines may stand
anywhere and are not kept):

    length N minutes            or `length N seconds`, once
    DOING WHAT[, OPTION]…       DOING: hear, learn, join, band
                                WHAT: the tune, each lick, or the name of a lick
                                OPTION: piece N · pieces N to M · slow · at tempo · at BPM
                                        once · twice · N times
    # a note to oneself

Reading finds every fault of a file in one go and says what, where, the rule and the mend.
`read_plan` of `write_plan` is the identity, but for the place of the length, which comes first.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from reedwright.errors import LessonError
from reedwright.harp.pitch import shown
from reedwright.lesson.planlines import (
    EACH,
    MOST_LENGTH_S,
    MOST_ROUNDS,
    TUNE,
    Doing,
    PlanLine,
    PlanText,
    Speed,
)
from reedwright.tune.meter import TEMPO_LIMITS_BPM
from reedwright.tune.reading import EnoughError, Reading, nearest
from reedwright.tune.values import Comment

MAX_CHARS = 4_000_000
"""As much as a tune may have."""

MOST_PIECE = 100_000
_NUMBER = r"\d{1,6}(?:\.\d{1,3})?"  # no more figures than a length or a tempo needs
_LENGTH = re.compile(rf"length\s+(?P<count>{_NUMBER})\s*(?P<unit>minutes?|seconds?)", re.IGNORECASE)
_PIECES = re.compile(r"pieces?\s+(\d{1,6})(?:\s+to\s+(\d{1,6}))?")
_TEMPO = re.compile(rf"at\s+({_NUMBER}|\d{{1,6}}/\d{{1,6}})")
_TIMES = re.compile(r"(\d{1,6})\s+times")
_FEW = {"once": 1, "twice": 2}
_DOING = {doing.value: doing for doing in Doing}
_SPEEDS = {speed.value: speed for speed in Speed}

_STEP_RULE = "A step is hear, learn, join or band, and then the tune, each lick, or a lick"
_STEP_LIKE = "write it like `learn Call, piece 1, at 72`"
_LOW, _HIGH = TEMPO_LIMITS_BPM
_OPTION_RULE = (
    f"After a comma stands piece N, pieces N to M, slow, at tempo, at {_LOW} to {_HIGH}, once or "
    "N times"
)
_LENGTH_LIKE = "write it like `length 12 minutes`"


def read_plan(text: str, file: str = "") -> PlanText:
    """The plan in a text. Errors: LessonError with every fault, its line and column."""
    reading = Reading(file)
    if len(text) > MAX_CHARS:
        reading.add(0, 0, f"{len(text):,} characters", f"At most {MAX_CHARS:,} are read")
        raise LessonError(reading.error_problems())
    reader = _Reader(reading)
    try:
        for number, line in enumerate(_split(text), 1):
            reader.read(line, number)
    except EnoughError:
        pass  # what was found is told; the rest of such a file helps nobody
    if reading.problems:
        raise LessonError(reading.error_problems())
    return PlanText(tuple(reader.lines), reader.wished_s)


def write_plan(plan: PlanText) -> str:
    """The text of a file; empty for nothing to say."""
    lines = [] if plan.wished_s is None else [_length(plan.wished_s)]
    lines += map(_written, plan.lines)
    return "".join(f"{line}\n" for line in lines)


def _length(seconds: float) -> str:
    minutes = seconds / 60
    if minutes == int(minutes):
        return f"length {int(minutes)} minutes"
    return f"length {round(seconds, 3):.3f}".rstrip("0").rstrip(".") + " seconds"


def _written(line: PlanLine | Comment) -> str:
    if isinstance(line, PlanLine):
        return str(line)
    return f"# {line.text}".replace("\n", " ").replace("\r", " ").rstrip()


def _split(text: str) -> list[str]:
    """Lines as editors count them."""
    return text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")


@dataclass(slots=True)
class _Reader:
    """Reads line by line what a plan says."""

    reading: Reading
    lines: list[PlanLine | Comment] = field(default_factory=list)
    wished_s: float | None = None
    length_line: int = 0

    def read(self, line: str, number: int) -> None:
        words = line.strip()
        column = len(line) - len(line.lstrip()) + 1
        first = words.partition(" ")[0].partition("\t")[0].lower()
        if words.startswith("#"):
            self.lines.append(Comment(words[1:].strip()))
        elif first == "length":
            self._length(words, number, column)
        elif words:
            self._step(words, number, column)

    def _length(self, words: str, number: int, column: int) -> None:
        match = _LENGTH.fullmatch(words)
        seconds = 0.0
        if match:
            unit_s = 60.0 if match["unit"].lower().startswith("minute") else 1.0
            seconds = float(match["count"]) * unit_s
        if not 0 < seconds <= MOST_LENGTH_S:
            rule = "The length of a lesson is a number of minutes or seconds, at most a day"
            self.reading.add(number, column, shown(words), rule, _LENGTH_LIKE)
        elif self.length_line:
            found = f"a second length; line {self.length_line} names one already"
            self.reading.add(number, column, found, "A lesson has one", "keep one of the two lines")
        else:
            self.wished_s, self.length_line = seconds, number

    def _step(self, words: str, number: int, column: int) -> None:
        parts = list(_parts(words, column))
        head, at = parts[0]
        word, _, what = " ".join(head.split()).partition(" ")
        doing = _DOING.get(word.lower())
        if doing is None:
            close = nearest(word, (*_DOING, "length"))
            mend = f"did you mean {close}?" if close else _STEP_LIKE
            self.reading.add(number, at, shown(word), _STEP_RULE, mend)
            what = what or TUNE  # its options are looked at all the same
        if not what:
            self.reading.add(number, at, f"{shown(word)} without what", _STEP_RULE, _STEP_LIKE)
        options = self._options(parts[1:], number)
        doing = doing or Doing.LEARN
        if "pieces" in options and (doing is not Doing.LEARN or what.lower() in (TUNE, EACH)):
            rule = "Pieces are named only where one lick is learned"
            at = next(at for text, at in parts[1:] if text.lower().startswith("piece"))
            self.reading.add(number, at, "pieces", rule, "drop them, or write `learn` and a lick")
        elif what:
            small = what.lower() if what.lower() in (TUNE, EACH) else what
            self.lines.append(PlanLine(doing, small, line=number, **options))

    def _options(self, parts: list[tuple[str, int]], number: int) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for text, at in parts:
            option = _option(" ".join(text.lower().split()))
            if option is None:
                self.reading.add(number, at, shown(text), _OPTION_RULE, _STEP_LIKE)
            elif option[0] in found:
                rule = "Pieces, tempo and times are each said once"
                self.reading.add(number, at, f"{shown(text)}, a second one", rule, "drop one")
            else:
                found[option[0]] = option[1]
        return found


def _parts(words: str, column: int) -> Iterator[tuple[str, int]]:
    """What stands between commas, and in which column each begins."""
    for part in words.split(","):
        yield part.strip(), column + len(part) - len(part.lstrip())
        column += len(part) + 1


def _option(text: str) -> tuple[str, Any] | None:
    """Name and value of an option; None for what is none, or out of range."""
    if text in _FEW:
        return "rounds", _FEW[text]
    if text in _SPEEDS:
        return "speed", _SPEEDS[text]
    if match := _TIMES.fullmatch(text):
        rounds = int(match[1])
        return ("rounds", rounds) if 1 <= rounds <= MOST_ROUNDS else None
    if match := _PIECES.fullmatch(text):
        first, last = int(match[1]), int(match[2] or match[1])
        return ("pieces", (first, last)) if 1 <= first <= last <= MOST_PIECE else None
    if match := _TEMPO.fullmatch(text):
        tempo_bpm = _fraction(match[1])
        return ("speed", tempo_bpm) if _LOW <= tempo_bpm <= _HIGH else None
    return None


def _fraction(text: str) -> Fraction:
    """A tempo as written; 0, which is none, for a part of nothing."""
    above, _, below = text.partition("/")
    return Fraction(0) if below and not int(below) else Fraction(above) / int(below or 1)
