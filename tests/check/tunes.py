"""Tunes as text for the harmony and check tests: one-lick ones, and random ones."""

import re

from hypothesis import strategies as st

from reedwright.harp.note import Breath, TabNote
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune
from reedwright.tune.tokens import MAX_TOKEN, format_sound
from tests.strategies import sounds_of


def score_of(text: str) -> Score:
    return place(read_tune(text))


def lick(*bars: str, **header: str) -> Score:
    """A tune of one lick on a C harp in second position, without a form unless one is given."""
    fields = {"Title": "One lick", "Harp": "C", "Position": "2"}
    fields |= {name.replace("_", " "): value for name, value in header.items()}
    head = [f"{name}: {value}" for name, value in fields.items()]
    body = [f"{number}: {cells}" for number, cells in enumerate(bars, 1)]
    return score_of("\n".join([*head, "", "Lick Only", *body, ""]))


def _likely(hole: int) -> st.SearchStrategy[TabNote]:
    """A note of a hole, most often one that harps have: checks pass over what nobody can play."""
    bends = st.sampled_from([0, 0, 0, 1, 2, 3, 5])
    button = st.integers(0, 19).map(lambda one_in_twenty: one_in_twenty == 0)
    bent = st.builds(TabNote, st.just(hole), st.sampled_from(Breath), bends, button=button)
    over = st.builds(TabNote, st.just(hole), st.sampled_from(Breath), over=st.just(True))
    return st.integers(0, 9).flatmap(lambda one_in_ten: bent if one_in_ten else over)


_tokens = (
    sounds_of(st.integers(1, 12).flatmap(_likely), most_notes=6)
    .map(format_sound)
    .filter(lambda token: len(token) <= MAX_TOKEN)
)

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
    part = st.one_of(st.just("."), st.just("="), _tokens)
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
