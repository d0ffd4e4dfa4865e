"""An answer in words: how the melody was read, each choice with its tab, why the first is first.

Conventions: paragraphs wrapped to a width; tab lines are not wrapped. No colour: the command line
adds it.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from reedwright.fit.answer import Answer, Judged
from reedwright.fit.choices import MAX_TRIED
from reedwright.fit.costs import POINT
from reedwright.fit.melody import Melody
from reedwright.fit.reading import Reading
from reedwright.fit.tabtext import tab_lines
from reedwright.fit.verdict import in_words, why_better
from reedwright.harp.pitch import harp_key

COPYRIGHT = (
    "A melody may still be in copyright. This program cannot know: before you hand it out or put "
    "it online, you must."
)


def answer_lines(answer: Answer, width: int = 80) -> Iterator[str]:
    """Line by line."""
    yield from _wrapped(how_read(answer.reading), width)
    melody = answer.reading.melody
    for number, judged in enumerate(answer.choices, 1):
        yield ""
        yield from _choice(f"{number}. ", melody, judged, width)
        if number == 1 and len(answer.choices) > 1:
            second = answer.choices[1]
            why = why_better(judged.choice, second.choice, judged.verdict, second.verdict)
            yield from _wrapped(f"Why before number 2: {why}", width, "    ")
    if answer.tabs:
        yield ""
        yield "Further tabs on the first harp, each the next best:"
        for letter, judged in zip("bcdefghijklmnopqrstuvwxyz" * 2, answer.tabs, strict=False):
            yield from _tab(f"1{letter}. ", melody, judged, width)
    yield ""
    yield from _wrapped(COPYRIGHT, width)


def how_read(reading: Reading) -> str:
    """What the melody is and how sure that is."""
    melody = reading.melody
    title = melody.title or "A melody without a title"
    beats = f"{float(melody.tempo_bpm):g} beats a minute"
    key = "" if melody.key is None else f", in {harp_key(melody.key)}{' minor' * melody.minor}"
    notes = f"{len(melody.notes)} note{'s' * (len(melody.notes) != 1)}"
    bars = f"{melody.bar_count} bar{'s' * (melody.bar_count != 1)}"
    said = [f"{title}: {notes} in {bars} of {melody.meter}, {melody.feel.name}, {beats}{key}."]
    if reading.part:
        said.append(f"Part {reading.part}.")
    if reading.sure < 1:
        said.append(
            f"The rhythm was brought to the beat: {reading.sure_words} ({reading.sure:.0%})."
        )
    return " ".join([*said, *reading.remarks])


def _choice(number: str, melody: Melody, judged: Judged, width: int) -> Iterator[str]:
    choice = judged.choice
    words = in_words(choice, judged.verdict)
    if choice.tried:
        words += f" It is tab number {choice.tried + 1}: the easier ones cannot be breathed."
    if not choice.breath_ok:
        words += f" None of the tabs tried can be breathed (at most {MAX_TRIED:,} are)."
    words += f" Difficulty {choice.cost / POINT:.1f} points."
    yield from _wrapped(number + words, width, " " * len(number))
    yield from tab_lines(melody, choice, width)


def _tab(number: str, melody: Melody, judged: Judged, width: int) -> Iterator[str]:
    choice, counted = judged.choice, judged.verdict
    counts = (
        (counted.natural, "natural"),
        (counted.bends, "bent"),
        (counted.overbends, "overbent"),
        (counted.turns, f"breath turn{'s' * (counted.turns != 1)}"),
    )
    told = ", ".join(f"{count} {word}" for count, word in counts if count)
    yield f"{number}{choice.cost / POINT:.1f} points: {told}."
    yield from tab_lines(melody, choice, width)


def _wrapped(text: str, width: int, indent: str = "") -> list[str]:
    first = indent if indent.isspace() and not text[:1].isdigit() else ""
    return textwrap.wrap(
        text, width, initial_indent=first, subsequent_indent=indent, break_long_words=False,
        break_on_hyphens=False,
    )  # fmt: skip
