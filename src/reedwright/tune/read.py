"""From the text of a tune file to a tune, with every fault of the file in one error."""

from __future__ import annotations

import re
from dataclasses import replace

from reedwright.errors import InputError, Problem, TuneError
from reedwright.harp.pitch import shown
from reedwright.tune.header import HeaderReader, Neighbour, parse_notation
from reedwright.tune.licks import full_licks
from reedwright.tune.meter import Meter, parse_meter
from reedwright.tune.order import check_order
from reedwright.tune.reading import MAX_PROBLEMS, Reading
from reedwright.tune.text import TextReader
from reedwright.tune.tune import Tune
from reedwright.tune.values import TuneText

MAX_CHARACTERS = 4_000_000
MAX_LINES = 200_000
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\u2028\u2029]")
_PRESCAN = re.compile(r"(meter|tab)\s*:\s*(.*)", re.IGNORECASE)
_BLOCK = re.compile(r"\s*(?:lick\s|chorus\b)", re.IGNORECASE)


def read_tune(text: str, file: str = "", neighbour: Neighbour | None = None) -> Tune:
    """A tune from its text. `file` names it in errors; `neighbour` reads files beside it.

    Errors: TuneError with all problems of the file, each with line, column, rule and mend.
    """
    reading = Reading(file)
    lines = _lines(text, reading)
    tune = _read(lines, reading, neighbour or _no_neighbour)
    if reading.problems:
        problems = sorted(reading.problems, key=lambda p: (p.place.line, p.place.column))
        if len(problems) == MAX_PROBLEMS:
            problems.append(Problem(f"only the first {MAX_PROBLEMS} problems are shown"))
        raise TuneError(tuple(problems))
    return tune


def read_text(text: str, file: str = "") -> tuple[TuneText, bool]:
    """The file as written, and whether its tab is signed: all the formatter needs."""
    reading = Reading(file)
    written = _text(_lines(text, reading), reading)
    if reading.problems:
        raise TuneError(tuple(reading.problems))
    return written


def _lines(text: str, reading: Reading) -> list[str]:
    if len(text) > MAX_CHARACTERS:
        raise TuneError(Problem(f"{len(text)} characters", f"A tune has at most {MAX_CHARACTERS}"))
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if len(lines) > MAX_LINES:
        raise TuneError(Problem(f"{len(lines)} lines", f"A tune has at most {MAX_LINES}"))
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


def _text(lines: list[str], reading: Reading) -> tuple[TuneText, bool]:
    meter, signed = _prescan(lines)
    return TextReader(reading, meter, signed).read(lines), signed


def _prescan(lines: list[str]) -> tuple[Meter, bool]:
    """Meter and notation, which the bars need; wrong ones are reported with the header."""
    meter, signed = Meter(), False
    for line in lines:
        if _BLOCK.match(line):
            break
        match = _PRESCAN.fullmatch(line.strip())
        if match is None:
            continue
        try:
            if match[1].lower() == "meter":
                meter = parse_meter(match[2])
            else:
                signed = parse_notation(match[2].strip())
        except InputError:
            continue
    return meter, signed


def _read(lines: list[str], reading: Reading, neighbour: Neighbour) -> Tune:
    text, _ = _text(lines, reading)
    header = HeaderReader(text, reading, neighbour)
    harp = header.harp()
    meter = header.meter()
    plain = Tune(
        title=header.title(),
        harp=harp,
        position=header.position(harp),
        text=text,
        licks=full_licks(text, reading),
        meter=meter,
        feel=header.feel(meter),
        tempos_bpm=header.tempos(),
        by=header.words("By"),
        school=header.words("School"),
        rights=header.words("Rights"),
        student=header.words("Student").lower(),
        abilities=header.abilities(),
        count_in_bars=header.count_in(),
        signed=header.signed(),
        lungs=header.lungs(),
        lines=header.lines,
    )
    tune = replace(plain, form=header.form(plain.key, meter))
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
