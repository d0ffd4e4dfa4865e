"""Forms: the bars of one chorus and the chords in them.

Conventions: bars count from 1; lengths are counted beats. A form is written as a name of
`data/forms.toml` or as bars between `|`; chords of a bar share it evenly, and `/` gives one more
share to the chord before it (`A7 / / E7`); a bar of `%` alone is the bar before once more.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from importlib.resources import files

from reedwright.errors import Problem, TuneError
from reedwright.harp.pitch import shown
from reedwright.tune.chords import Chord, parse_chord
from reedwright.tune.meter import Meter
from reedwright.tune.reading import nearest

MAX_BARS = 128
"""Bars of one time through; a lesson has 8 to 32 (from memory)."""


@dataclass(frozen=True, slots=True)
class ChordSpan:
    """A chord from a beat of its bar (`start` from 0) for `length` counted beats."""

    chord: Chord
    start: Fraction
    length: Fraction


@dataclass(frozen=True, slots=True)
class Form:
    """The chords of one chorus; `bars[i]` is bar i + 1, none where chords are not known.

    `name` is empty for bars written out.
    """

    name: str = ""
    bars: tuple[tuple[ChordSpan, ...], ...] = ()

    def spans(self, bar: int) -> tuple[ChordSpan, ...]:
        """Chords of any bar; a pickup takes the last bar, an ending goes round again."""
        return self.bars[(bar - 1) % len(self.bars)] if self.bars else ()

    def chord_at(self, bar: int, beat: Fraction) -> Chord | None:
        """The chord under a beat (from 1) of a bar; None in a tune without a form."""
        spans = self.spans(bar)
        under = (span for span in spans if beat - 1 < span.start + span.length)
        found = next(under, spans[-1] if spans else None)
        return found.chord if found else None

    def up(self, semitones: int) -> Form:
        """The form in a key so many semitones higher."""
        bars = (
            tuple(ChordSpan(span.chord.up(semitones), span.start, span.length) for span in bar)
            for bar in self.bars
        )
        return Form(self.name, tuple(bars))

    def is_minor(self, key: int) -> bool:
        """Whether the chord on the key note is minor where it first appears."""
        home = self._home(key)
        return home is not None and home.minor

    def has_home(self, key: int) -> bool:
        """Whether there is a chord on the key note at all."""
        return self._home(key) is not None

    def _home(self, key: int) -> Chord | None:
        chords = (span.chord for bar in self.bars for span in bar)
        return next((chord for chord in chords if chord.root == key), None)


def form_names() -> tuple[str, ...]:
    return tuple(entry["name"] for entry in _table().values())


def parse_form(text: str, key: int, meter: Meter) -> Form:
    """A named form, or bars written out, in a key (pitch class). Errors: TuneError."""
    plain = " ".join(text.lower().replace(",", " ").replace("blues", " ").split())
    named = {entry["name"]: entry["bars"] for entry in _table().values()}
    if plain in named:
        return _named(plain, named[plain], key, meter)
    if "|" not in text and not _looks_like_a_chord(text, key):
        close = nearest(plain, named)
        raise TuneError(
            Problem(
                found=f"unknown form {shown(text)}",
                rule="A form is one of " + ", ".join(named) + ", or chords with | between bars",
                mend=f"did you mean {close}?"
                if close
                else "write it like 12-bar quick change, or A7 | D7 | A7 | A7",
            )
        )
    return Form("", _bars(text, key, meter))


@lru_cache(maxsize=256)
def _named(name: str, bars: str, key: int, meter: Meter) -> Form:
    return Form(name, _bars(bars, key, meter))


def _looks_like_a_chord(text: str, key: int) -> bool:
    try:
        return bool(parse_chord(text.partition(" ")[0].partition("/")[0], key))
    except TuneError:
        return False


def _bars(text: str, key: int, meter: Meter) -> tuple[tuple[ChordSpan, ...], ...]:
    written = text.strip().strip("|").split("|")
    if len(written) > MAX_BARS:
        raise TuneError(
            Problem(
                found=f"a form of {len(written)} bars",
                rule=f"A form has at most {MAX_BARS} bars",
                mend="write one time through; choruses repeat it",
            )
        )
    bars: list[tuple[ChordSpan, ...]] = []
    problems: list[Problem] = []
    for number, bar in enumerate(written, 1):
        try:
            tokens = bar.split()
            bars.append(bars[-1] if tokens == ["%"] and bars else _bar(tokens, key, meter, number))
        except TuneError as error:
            problems += error.problems
    if problems:
        raise TuneError(tuple(problems))
    return tuple(bars)


def _bar(tokens: list[str], key: int, meter: Meter, number: int) -> tuple[ChordSpan, ...]:
    if not tokens or tokens[0] in ("/", "%"):
        raise TuneError(
            Problem(
                found=f"bar {number} of the form has no chord",
                rule="Each bar between two | begins with a chord, or is % for the bar before",
                mend="write its chord",
            )
        )
    if len(tokens) > 2 * meter.beats:
        raise TuneError(
            Problem(
                found=f"bar {number} of the form has {len(tokens)} chords",
                rule=f"A bar of {meter} holds at most {2 * meter.beats}",
                mend="put | between the bars",
            )
        )
    share = Fraction(meter.beats, len(tokens))
    spans: list[ChordSpan] = []
    for index, token in enumerate(tokens):
        if token == "/":
            last = spans.pop()
            spans.append(ChordSpan(last.chord, last.start, last.length + share))
        else:
            spans.append(ChordSpan(_chord(token, key, number), index * share, share))
    return tuple(spans)


def _chord(token: str, key: int, number: int) -> Chord:
    try:
        return parse_chord(token, key)
    except TuneError as error:
        first = error.problems[0]
        found = f"{first.found} in bar {number} of the form"
        raise TuneError(Problem(found, *_rule_of(token, first))) from None


def _rule_of(token: str, problem: Problem) -> tuple[str, str]:
    """The rule a token breaks that is no chord, and the mend."""
    if "/" not in token:
        return problem.rule, problem.mend
    chord, _, after = token.partition("/")
    if chord and not after.strip("/"):
        rule = "A / apart from the chord gives the chord one more share of its bar"
        return rule, f"put a space before /, like `{chord}{' /' * token.count('/')}`"
    return "Chords are named without a bass note", f"write {chord or 'the chord'} alone"


@cache
def _table() -> dict[str, dict[str, str]]:
    text = files("reedwright.tune").joinpath("data/forms.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)
