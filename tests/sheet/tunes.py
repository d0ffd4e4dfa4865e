"""Tunes for the tests of written sheets: fixed ones, and random ones of every meter and key."""

import re
from fractions import Fraction

from hypothesis import strategies as st

from reedwright.harp.harp import Harp, harp_named
from reedwright.harp.law import why_not
from reedwright.harp.note import TabNote
from reedwright.harp.pitch import KEYS
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune
from reedwright.tune.tokens import format_sound
from reedwright.tune.values import Mark, MarkKind, Sound

GATE = """\
Title: The Gate
By: A. Teacher
Rights: Free to copy
Harp: A
Position: 2
Feel: shuffle
Tempo: 60, 104
Form: E7 | A7 / / B7 | E7 | E7

> Keep it easy

Lick Call (cup closed, loud)
0: . . .&2d 3d'&3d
1: /4dv = 3d'&2d .
2: 1+2d&1+2d . {cup open, soft} 4x5d@3 (4d)
> Breathe low.

Lick Train
1: 1+2+3+4b&1+4b 4d&5d&4d\\! . .

Chorus, 2 times
1 Call
3 Train, 2 times
"""


def score_of(text: str) -> Score:
    return place(read_tune(text))


def bar_of(cells: str, **header: str) -> Score:
    """Bars on a C harp in first position; header lines by name (`Meter="12/8"`)."""
    head = {"Title": "Short", "Harp": "C", "Position": "1"} | header
    lines = [*(f"{key}: {value}" for key, value in head.items()), "", "Lick Only"]
    bars = (f"{number}: {bar}" for number, bar in enumerate(cells.split(" | "), 1))
    return score_of("\n".join([*lines, *bars]))


HEADS = {
    "4/4": (4, ("straight", "shuffle", "swing 1.5:1", "swing by tempo")),
    "3/4": (3, ("straight", "shuffle")),
    "2/4": (2, ("straight",)),
    "5/4": (5, ("straight",)),
    "6/8": (2, ("straight",)),
    "9/8": (3, ("straight",)),
    "12/8": (4, ("straight",)),
}
_FORMS = ("12-bar", "12-bar minor", "8-bar", "I7 | IV7 / V7#9 / | i7 ii7b5 bVI VII7sus4 | I", "")
_MARKS = (
    *(Mark(MarkKind.DIP, Fraction(n)) for n in (1, 2)),
    *(Mark(kind) for kind in (MarkKind.THROAT, MarkKind.HAND, MarkKind.WAH, MarkKind.FLUTTER)),
    *(Mark(kind) for kind in (MarkKind.SLAP, MarkKind.PULL, MarkKind.BLOCKED, MarkKind.GHOST)),
    Mark(MarkKind.FALL, Fraction(1)),
    Mark(MarkKind.ACCENT),
    Mark(MarkKind.RAKE, Fraction(2)),
)
titles = st.text(
    st.characters(min_codepoint=33, max_codepoint=0x24F, exclude_categories=["C", "Z"]),
    min_size=1,
    max_size=30,
)


@st.composite
def sounds(draw: st.DrawFn, harp: Harp) -> Sound:
    """A note, chord, split or shake of a harp, with at most two marks."""
    note = draw(st.sampled_from(harp.notes()))
    steps = draw(st.sampled_from([(), (), (1,), (1,), (1, 2), (1, 2, 3), (3,)]))
    marks = draw(st.lists(st.sampled_from(_MARKS), max_size=2, unique_by=lambda m: m.kind))
    marks = sorted(marks, key=lambda mark: list(MarkKind).index(mark.kind))
    more = [TabNote(note.hole + step, note.breath) for step in steps if note.hole + step <= 16]
    more = [other for other in more if not why_not(harp.tuning, other)]
    if len(more) == 1 and draw(st.booleans()):
        rate = Fraction(draw(st.sampled_from((0, 3))))
        return Sound((note,), more[0], rate, tuple(marks))
    return Sound((note, *more), marks=tuple(marks))


@st.composite
def _lick(draw: st.DrawFn, name: str, harp: Harp, beats: int, first: int) -> list[str]:
    """A lick's lines; a hold with nothing to hold becomes a rest."""
    tokens = [format_sound(draw(sounds(harp))) for _ in range(draw(st.integers(1, 6)))]
    part = st.sampled_from((*tokens, *("=", ".") * (1 + len(tokens) // 3)))
    cell = st.lists(part, min_size=1, max_size=draw(st.sampled_from((2, 4, 12)))).map("&".join)
    lines = [f"Lick {name} ({draw(st.sampled_from(('cup closed', 'loud', 'very soft')))})"]
    sounding = False
    for number in range(first, draw(st.integers(1, 3)) + 1):
        bar = " ".join(draw(st.lists(cell, min_size=beats, max_size=beats)))
        pieces = re.split("([ &])", bar)
        for at in range(0, len(pieces), 2):
            pieces[at] = "." if pieces[at] == "=" and not sounding else pieces[at]
            sounding = pieces[at] != "."
        lines.append(f"{number}: {''.join(pieces)}")
    return lines


@st.composite
def tune_texts(draw: st.DrawFn) -> str:
    """Two licks, the first with a pickup, in one or two choruses; they may overlap."""
    key = draw(st.sampled_from(KEYS))
    harp = harp_named(key)
    meter = draw(st.sampled_from(sorted(HEADS)))
    beats, feels = HEADS[meter]
    form = draw(st.sampled_from(_FORMS))
    lines = [f"Title: {draw(titles)}", f"Harp: {key}", f"Position: {draw(st.integers(1, 12))}"]
    lines += [f"Meter: {meter}", f"Feel: {draw(st.sampled_from(feels))}"]
    lines += [f"Form: {form}"] if form else []
    one = draw(_lick("One", harp, beats, 0))
    lines += [*one, *draw(_lick("Two", harp, beats, draw(st.integers(0, 1))))]
    times = draw(st.integers(1, 2))
    lines += [f"Chorus, {times} times", "1 One", f"{draw(st.integers(2, 4))} Two"]
    return "\n".join(lines)
