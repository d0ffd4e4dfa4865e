"""`reedwright check`: what is wrong with a tune, beside the line it is about."""

from __future__ import annotations

import json
from argparse import Namespace
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from reedwright.cli.codes import FAULTY, FINE
from reedwright.cli.parser import TUNES, Parser, UsageError
from reedwright.cli.source import Source, read_source
from reedwright.cli.terminal import Terminal
from reedwright.errors import InputError
from reedwright.tune.headervalues import parse_tempos
from reedwright.tune.place import Score, place
from reedwright.tune.tune import Tune

if TYPE_CHECKING:
    from reedwright.check.check import Report

DESCRIPTION = """\
Check a tune: does every note exist on its harp, is there enough air, can hand
and mouth follow, does the student have the techniques, and why does a note land?
Errors must be mended before a sheet is printed; warnings and advice are yours to judge."""

EXAMPLES = (
    "reedwright check my-tune.reed              findings beside the source",
    "reedwright check my-tune.reed --tempo 80   as if 80 were the full tempo",
    "reedwright check my-tune.reed --json       for a program",
    "reedwright check - < my-tune.reed          from standard input",
)


def arguments(parser: Parser) -> None:
    tune = parser.add_argument("tune", metavar="TUNE", help="a tune file, or -")
    parser.complete(tune, TUNES)
    parser.add_argument("--tempo", metavar="BPM", help="counted beats a minute (the full tempo)")
    parser.add_argument("--json", action="store_true", help="print JSON")


def run(args: Namespace, terminal: Terminal) -> int:
    from reedwright.check.as_json import report_json
    from reedwright.check.as_text import report_text

    tempo = tempo_of(args.tempo, "check")
    source = read_source(args.tune)
    report = report_of(source, tempo)
    if args.json:
        document = json.dumps(report_json(report), indent=2, ensure_ascii=False)
        terminal.data((document + "\n").encode("utf-8"))
    else:
        text = report_text(report, source.lines, colour=terminal.colour)
        terminal.say(text.rstrip("\n"))
    return FINE if report.ok else FAULTY


def report_of(source: Source, tempo_bpm: Fraction | None) -> Report:
    """A tune checked, as if the given tempo were its full one. Errors: FaultyTuneError."""
    from reedwright.check.check import check

    return check(score_at(source.tune(), tempo_bpm))


def tempo_of(text: str | None, command: str) -> Fraction | None:
    """One tempo from the command line. Errors: UsageError."""
    if text is None:
        return None
    try:
        tempos = parse_tempos(text)
    except InputError as error:
        raise UsageError(f"reedwright {command}: --tempo: {error}") from None
    if len(tempos) != 1:
        raise UsageError(f"reedwright {command}: --tempo is one number, such as 80.")
    return tempos[0]


def score_at(tune: Tune, tempo_bpm: Fraction | None) -> Score:
    """A placed tune whose full tempo is another one; slower tempos of the tune stay."""
    if tempo_bpm is not None:
        slower = tuple(tempo for tempo in tune.tempos_bpm if tempo < tempo_bpm)
        tune = replace(tune, tempos_bpm=(*slower, tempo_bpm))
    return place(tune)
