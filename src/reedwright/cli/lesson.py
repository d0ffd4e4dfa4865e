"""`reedwright lesson`: what there is to learn in a tune, piece by piece, and how hard each is."""

from __future__ import annotations

import json
from argparse import Namespace
from pathlib import Path

from reedwright.cli.check import report_of
from reedwright.cli.codes import FINE
from reedwright.cli.faulty import refuse
from reedwright.cli.parser import TUNES, Parser
from reedwright.cli.source import Source, read_source
from reedwright.cli.terminal import Terminal
from reedwright.lesson.study import Study
from reedwright.tune.place import Score

DESCRIPTION = """\
Take a tune apart for teaching: every lick cut into pieces that a student can
hold, what of each has been learned before, how hard it is, and the tempos to
practise at. Where you want other cuts, write them into NAME.cuts beside the tune.
Everything in one folder, with the student's page: reedwright pack."""

EXAMPLES = (
    "reedwright lesson my-tune.reed          pieces, likenesses, difficulty",
    "reedwright lesson my-tune.reed --json   for a program",
)


def arguments(parser: Parser) -> None:
    tune = parser.add_argument("tune", metavar="TUNE", help="a tune file, or -")
    parser.add_argument("--json", action="store_true", help="print JSON")
    parser.complete(tune, TUNES)


def run(args: Namespace, terminal: Terminal) -> int:
    source = read_source(args.tune)
    report = report_of(source, None)
    if not report.ok:
        return refuse(report, source, terminal)
    found = _study(report.score, source)
    for finding in found.findings:
        terminal.complain(f"{finding.severity.value}: {finding.found}. Mend: {finding.mend}.")
    if args.json:
        from reedwright.lesson.as_json import lesson_json

        document = json.dumps(lesson_json(found), indent=2, ensure_ascii=False)
        terminal.data((document + "\n").encode("utf-8"))
    else:
        from reedwright.lesson.as_text import lesson_text

        terminal.say(lesson_text(found).rstrip("\n"))
    return FINE


def _study(score: Score, source: Source) -> Study:
    from reedwright.lesson.cuts import Cuts
    from reedwright.lesson.load import load_cuts
    from reedwright.lesson.study import study

    cuts = Cuts() if source.is_stdin else load_cuts(Path(source.path))
    return study(score, cuts)
