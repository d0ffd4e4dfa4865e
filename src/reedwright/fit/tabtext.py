"""A choice's tab as lines of bars.

Conventions: `|` at bar lines, the notes of a bar in order, `.` for a bar of silence, `-` for a bar
in which a note only sounds on, `×` for a note left out; bar 0 is a pickup. Lines break at bar lines
and begin with the number of their first bar.
"""

from __future__ import annotations

from math import floor

from reedwright.fit.choices import Choice
from reedwright.fit.melody import Melody

LEFT_OUT = "×"


def tab_bars(melody: Melody, choice: Choice) -> list[tuple[int, list[str]]]:
    """Every bar from the first to the last with notes: its number and its tokens."""
    beats = melody.meter.beats
    by_bar: dict[int, list[str]] = {}
    sounding: set[int] = set()
    for note, token in zip(melody.notes, choice.tab, strict=True):
        first, last = floor(note.start / beats), floor((note.end - _HAIR) / beats)
        by_bar.setdefault(first + 1, []).append(token or LEFT_OUT)
        sounding.update(range(first + 2, min(last, first + 1000) + 2))
    if not by_bar:
        return []
    return [
        (bar, by_bar.get(bar, ["-" if bar in sounding else "."]))
        for bar in range(min(by_bar), max(*by_bar, *sounding, 0) + 1)
    ]


_HAIR = 1e-9  # a note that ends on a bar line does not sound in the next bar


def tab_lines(melody: Melody, choice: Choice, width: int, indent: str = "    ") -> list[str]:
    """The tab in lines of at most `width` signs, where a bar alone is not longer."""
    lines: list[str] = []
    line, start = "", 0
    for bar, tokens in tab_bars(melody, choice):
        text = " ".join(tokens) + " |"
        if line and len(line) + 1 + len(text) > width - len(indent) - 5:
            lines.append(f"{indent}{start:>3}: {line}")
            line = ""
        start = start if line else bar
        line = f"{line} {text}" if line else text
    return [*lines, f"{indent}{start:>3}: {line}"] if line else lines
