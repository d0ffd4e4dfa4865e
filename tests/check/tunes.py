"""Tunes as text for the harmony and check tests: fixed ones, one-lick ones, and random ones."""

import re
from fractions import Fraction

from hypothesis import strategies as st

from reedwright.harp.note import Breath, TabNote
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune
from reedwright.tune.tokens import format_sound
from reedwright.tune.values import Mark, MarkKind, Sound

SHUFFLE = """\
Title: Mill Race
Harp: A
Position: 2
Feel: shuffle
Tempo: 64, 88, 112
Form: 12-bar quick change
Student: steady

Lick Call (cup closed, loud)
0: . . . .&2d
1: /3d&4d = 4d'&4d 3d&2d
2: 1+2+3b&1+2+3b . 2d&1d 2d
> Lean on the third.

Lick Home
1: 2d = 3d'&2d 1d
2: 2d = . .&2d

Lick Low
1: 1+2+3b&1+2+3d 1+2+3b&1+2+3d 1+2+3b&1+2+3d 1+2b
2: 1+2+3b . 3d'&3d'&2d 1d

Lick High
1: 4d&5d 5b&4d 4d'&4d 3d&2d
2: 4x5d@6 = = 4d

Lick Climb
1: 1d&1d 2d''&2d 4d 4d'
2: 4b = 3d'&2b 2d
3: 2d&3d' 3d&4d 5d&4d 3d&2d
4: 2d&2d'' 1d 1d .

Chorus
1 Call
3 Home
5 Low
7 High
9 Climb
"""
"""A twelve-bar in cross position with what belongs there: blue thirds, dips, chord rhythm."""


def score_of(text: str) -> Score:
    return place(read_tune(text))


def lick(*bars: str, **header: str) -> Score:
    """A tune of one lick on a C harp in second position, without a form unless one is given."""
    fields = {"Title": "One lick", "Harp": "C", "Position": "2"}
    fields |= {name.replace("_", " "): value for name, value in header.items()}
    head = [f"{name}: {value}" for name, value in fields.items()]
    body = [f"{number}: {cells}" for number, cells in enumerate(bars, 1)]
    return score_of("\n".join([*head, "", "Lick Only", *body, ""]))


@st.composite
def sounds(draw: st.DrawFn) -> Sound:
    """Any sound the tune file can write, whether or not some harp can play it."""
    holes = draw(st.lists(st.integers(1, 12), min_size=1, max_size=6, unique=True))
    notes = tuple(draw(tab_notes(hole)) for hole in sorted(holes))
    kinds = draw(st.lists(st.sampled_from(MarkKind), max_size=3, unique=True))
    marks = tuple(Mark(kind, _amount(kind, draw)) for kind in MarkKind if kind in kinds)
    if len(notes) == 2 and draw(st.booleans()):
        return Sound(notes[:1], notes[1], Fraction(draw(st.integers(0, 6))), marks)
    return Sound(notes, marks=marks)


@st.composite
def tab_notes(draw: st.DrawFn, hole: int) -> TabNote:
    over = draw(st.integers(0, 9)) == 0
    bend = 0 if over else draw(st.sampled_from([0, 0, 0, 1, 2, 3, 5]))
    button = draw(st.integers(0, 19)) == 0
    return TabNote(hole, draw(st.sampled_from(Breath)), bend, over, button)


def _amount(kind: MarkKind, draw: st.DrawFn) -> Fraction:
    if kind in (MarkKind.DIP, MarkKind.FALL):
        return Fraction(draw(st.integers(1, 4)))
    if kind is MarkKind.RAKE:
        return Fraction(draw(st.integers(1, 14)))
    return Fraction(0)


FORMS = ("", "12-bar", "12-bar minor", "8-bar plain", "I7 / IV7 V7 | bVI7 Idim7 | I5 I7#9")
TUNINGS = ("Richter", "natural minor", "half-valved country", "spiral", "slide")


@st.composite
def tunes(draw: st.DrawFn) -> str:
    """A tune file that can be read, of any notes at all."""
    beats = draw(st.sampled_from([2, 3, 4]))
    form = draw(st.sampled_from(FORMS))
    head = [
        "Title: Random",
        f"Harp: {draw(st.sampled_from(['C', 'A', 'low D', 'F#']))}",
        f"Tuning: {draw(st.sampled_from(TUNINGS))}",
        f"Position: {draw(st.integers(1, 12))}",
        f"Meter: {beats}/4",
        f"Tempo: {draw(st.sampled_from(['20', '60, 90, 120', '400']))}",
        f"Feel: {draw(st.sampled_from(['straight', 'shuffle', 'swing by tempo']))}",
        f"Student: {draw(st.sampled_from(['beginner', 'steady', 'expert']))}",
    ]
    head += [f"Form: {form}"] if form else []
    bars = draw(st.lists(_bar(beats), min_size=1, max_size=4))
    body = [f"{number}: {bar}" for number, bar in enumerate(_held(bars), 1)]
    times = draw(st.integers(1, 2))
    return "\n".join([*head, "Lick One", *body, f"Chorus, {times} times", "1 One", ""])


def _bar(beats: int) -> st.SearchStrategy[str]:
    part = st.one_of(st.just("."), st.just("="), sounds().map(format_sound))
    cell = st.lists(part, min_size=1, max_size=3).map("&".join)
    return st.lists(cell, min_size=beats, max_size=beats).map(" ".join)


def _held(bars: list[str]) -> list[str]:
    """The bars with a rest for every hold that has nothing to hold."""
    sounding = False
    mended = []
    for bar in bars:
        parts = re.split(r"([ &])", bar)
        for index, part in enumerate(parts):
            if part not in (" ", "&"):
                parts[index] = "." if part == "=" and not sounding else part
                sounding = parts[index] != "."
        mended.append("".join(parts))
    return mended
