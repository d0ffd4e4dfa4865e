"""From the text of a tune file to a tune, with every fault of the file in one error."""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import replace

from reedwright.errors import Place, Problem, TuneError
from reedwright.harp.pitch import shown
from reedwright.tune.header import HeaderReader, Neighbour
from reedwright.tune.headervalues import Judge
from reedwright.tune.licks import full_licks
from reedwright.tune.ordercheck import check_order
from reedwright.tune.reading import EnoughError, Reading
from reedwright.tune.text import TextReader
from reedwright.tune.tune import Tune
from reedwright.tune.values import TuneText

MAX_CHARACTERS = 4_000_000
MAX_LINES = 200_000

# What no line of a tune holds: control characters, halves of surrogate pairs, line separators that
# editors count differently, signs that turn the direction of text, and what XML 1.0 leaves out.
_CONTROL = re.compile(
    r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"
)


def read_tune(
    text: str,
    file: str = "",
    neighbour: Neighbour | None = None,
    judge: Judge = lambda _: (),
) -> Tune:
    """A tune from its text. `file` names it in errors; `neighbour` reads files beside it; `judge`
    finds the faults of its `Lungs:` line, which is the breath room's (`lungs_faults` there).

    Errors: TuneError with all problems of the file, each with line, column, rule and mend.
    """
    reading = Reading(file)
    tune = None
    with suppress(EnoughError):
        lines = _lines(text, reading)
        tune = _read(lines, reading, neighbour or _no_neighbour, judge)
    if tune is None or reading.problems:
        raise TuneError(reading.error_problems())
    return tune


def read_text(text: str, file: str = "") -> tuple[TuneText, bool]:
    """The file as written, and whether its tab is signed: all the formatter needs."""
    reading = Reading(file)
    written = None
    with suppress(EnoughError):
        written = _text(_lines(text, reading), reading)
    if written is None or reading.problems:
        raise TuneError(reading.error_problems())
    return written


def _lines(text: str, reading: Reading) -> list[str]:
    if len(text) > MAX_CHARACTERS:
        raise _too_long(f"{len(text)} characters", MAX_CHARACTERS, reading.file)
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if len(lines) > MAX_LINES:
        raise _too_long(f"{len(lines)} lines", MAX_LINES, reading.file)
    if _CONTROL.search("\n".join(lines)) is None:
        return lines
    for number, line in enumerate(lines, 1):
        if found := _CONTROL.search(line):
            code = f"U+{ord(found[0]):04X}"
            reading.add(
                number,
                found.start() + 1,
                f"a control character ({code})",
                "A tune is plain text",
                "delete it",
            )
    return [_CONTROL.sub(" ", line) for line in lines]


def _too_long(found: str, limit: int, file: str) -> TuneError:
    rule = f"A tune has at most {limit}"
    return TuneError(Problem(found, rule, "name a tune file, or split it", Place(1, 1, file)))


def _text(lines: list[str], reading: Reading) -> tuple[TuneText, bool]:
    reader = TextReader(reading)
    return reader.read(lines), reader.signed


def _read(lines: list[str], reading: Reading, neighbour: Neighbour, judge: Judge) -> Tune:
    text, _ = _text(lines, reading)
    header = HeaderReader(text, reading, neighbour, judge)
    harp = header.harp()
    home = header.home(harp)
    meter = header.meter()
    plain = Tune(
        title=header.title(),
        harp=harp,
        position=home.position,
        text=text,
        licks=full_licks(text, reading),
        meter=meter,
        feel=header.feel(meter),
        tempos_bpm=header.tempos(),
        by=header.words("By"),
        school=header.words("School"),
        rights=header.words("Rights"),
        student=header.student(),
        abilities=header.abilities(),
        count_in_bars=header.count_in(),
        signed=header.signed(),
        lungs=header.lungs(),
        band=header.band(),
        lines=header.lines,
        said_minor=home.minor,
    )
    tune = replace(plain, form=header.form(plain.key, meter))
    header.check_mode(home, tune.form, tune.key)
    check_order(tune, reading)
    return tune


def _no_neighbour(name: str) -> str:
    raise TuneError(
        Problem(
            f"{shown(name)} cannot be read here",
            "This text does not come from a folder",
            "use a built-in name",
        )
    )
