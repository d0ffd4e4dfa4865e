"""The sheet as plain text, 80 characters wide: fit for a mail, a terminal, a screen reader.

Conventions: over each note stands what is counted there, under it its tab; `=` holds a note over
the beat, `.` is a rest, as in the tune file. Choruses are written out. UTF-8, lines end in `\\n`,
none ends in a blank.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from itertools import groupby

from reedwright.harp.chart import chart_text
from reedwright.harp.position import position_name
from reedwright.sheet.legend import TIED, legend
from reedwright.sheet.options import SheetOptions
from reedwright.sheet.textbars import HOLD, REST, TextBar, text_bars
from reedwright.sheet.textline import drawn_line, music_lines
from reedwright.sheet.words import words
from reedwright.tune.place import Score

WIDTH = 80
_LABEL = 10  # characters for the names of facts


def sheet_text(score: Score, options: SheetOptions | None = None) -> str:
    """The whole sheet. Errors: SheetError for a note that cannot be written."""
    options = options or SheetOptions()
    bars = list(text_bars(score, options))
    facts = _facts(score, options, bars)
    blocks = [_head(score), facts, _form(score), *_music(score, options, bars)]
    chart = chart_text(score.tune.harp, score.tune.position, width=WIDTH).split("\n")
    care = [line for text in words()["cautions"].values() for line in textwrap.wrap(text, WIDTH)]
    text = "\n\n".join("\n".join(block).rstrip() for block in [*blocks, chart, care] if block)
    return "\n".join(line.rstrip() for line in text.split("\n")) + "\n"


def _head(score: Score) -> list[str]:
    tune = score.tune
    title = textwrap.wrap(tune.title, WIDTH)
    by = textwrap.wrap(", ".join(text for text in (tune.by, tune.school) if text), WIDTH)
    return [*title, "=" * max(map(len, title), default=0), *by]


def _facts(score: Score, options: SheetOptions, bars: list[TextBar]) -> list[str]:
    tune = score.tune
    signs = {sign for bar in bars for slot in bar.run.slots for sign in slot.tab}
    rhythm_signs = [name for name, sign in (("hold", HOLD), ("rest", REST)) if sign in signs]
    tempos = (options.tempo_bpm,) if options.tempo_bpm else tune.tempos_bpm
    facts = [
        ("Harp", f"{tune.harp.name}, {position_name(tune.position)} position, in {tune.key_name}"),
        ("Meter", f"{tune.meter}, {tune.feel.name}"),
        ("Tempo", ", ".join(f"{float(tempo):g}" for tempo in tempos) + " beats a minute"),
        ("Tab", legend(score, options, "text", rhythm_signs)),
        *(("Remark", remark) for remark in tune.remarks),
        *([("Rights", tune.rights)] if tune.rights else []),
    ]
    lines = [line for name, text in facts for line in _wrapped(f"{name:<{_LABEL}}", text)]
    return [line.replace(TIED, " ") for line in lines]


def _wrapped(label: str, text: str) -> list[str]:
    indent = " " * len(label)
    return textwrap.wrap(text, WIDTH, initial_indent=label, subsequent_indent=indent)


def _form(score: Score) -> list[str]:
    form = score.tune.form
    bars = [" ".join(span.chord.name(score.tune.fifths) for span in bar) for bar in form.bars]
    if not bars:
        return []
    column = max(map(len, bars))
    fitting = next((each for each in (4, 2) if each * (column + 3) + 1 <= WIDTH), 1)
    lines = [
        "| " + " | ".join(bar.ljust(column) for bar in bars[at : at + fitting]) + " |"
        for at in range(0, len(bars), fitting)
    ]
    return [
        f"Form: {form.name or f'{len(bars)} bars'}",
        *(part for line in lines for part in textwrap.wrap(line, WIDTH)),
    ]


def _music(score: Score, options: SheetOptions, bars: list[TextBar]) -> Iterator[list[str]]:
    several = len(score.order.chorus_starts) > 1
    for chorus, own in groupby(bars, key=lambda bar: bar.chorus):
        if several:
            yield [f"Chorus {chorus}", "-" * len(f"Chorus {chorus}")]
        for line in _shared_out(list(own), options.bars_per_line):
            remarks = [
                part
                for bar in line
                for name, text in bar.remarks
                for part in _wrapped("> ", f"{name}: {text}")
            ]
            for number, runs in enumerate(music_lines([bar.run for bar in line], WIDTH)):
                yield [*(remarks if number == 0 else ()), *drawn_line(runs, WIDTH)]


def _shared_out(bars: list[TextBar], per_line: int) -> Iterator[list[TextBar]]:
    """Bars as a sheet lines them up; a pickup joins the first line."""
    line: list[TextBar] = []
    for bar in bars:
        if line and bar.number > 1 and (bar.number - 1) % per_line == 0:
            yield line
            line = []
        line.append(bar)
    yield line
