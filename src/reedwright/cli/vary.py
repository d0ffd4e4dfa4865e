"""`reedwright vary`: other endings, rhythms and answers for a lick; a tune for another level."""

from __future__ import annotations

import os
from argparse import Namespace
from pathlib import Path

from reedwright.cli.check import report_of
from reedwright.cli.codes import FINE
from reedwright.cli.faulty import refuse
from reedwright.cli.parser import FILES, TUNES, Parser, UsageError
from reedwright.cli.source import read_source
from reedwright.cli.terminal import Terminal
from reedwright.errors import FileError, one_line
from reedwright.files import write_whole
from reedwright.tune.place import Score
from reedwright.tune.techniques import ladder

DESCRIPTION = """\
Propose variations of a lick of your own: another ending on the same landing note, the
rhythm shifted, the same shape on the four or the five chord, the call answered. Each
stays on the form and passes every check the lick passes, and says what changed and why.

With --level the whole tune is made easier or harder, change by change; -o writes it as
a new file and never replaces one."""

EXAMPLES = (
    "reedwright vary my-tune.reed --lick Call",
    "reedwright vary my-tune.reed --lick Call --count 10",
    "reedwright vary my-tune.reed --level beginner -o my-tune-easy.reed",
)
_USUAL = 5


def arguments(parser: Parser) -> None:
    levels = ladder().levels
    tune = parser.add_argument("tune", metavar="TUNE", help="a tune file, or -")
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("--lick", metavar="NAME", help="the lick to vary")
    level = what.add_argument("--level", choices=levels, metavar="LEVEL", help=", ".join(levels))
    parser.add_argument("--count", type=int, default=_USUAL, metavar="N", help="how many (5)")
    out = parser.add_argument("-o", "--out", metavar="FILE", help="with --level: the new tune")
    parser.complete(tune, TUNES)
    parser.complete(level, levels)
    parser.complete(out, FILES)


def run(args: Namespace, terminal: Terminal) -> int:
    if args.out is not None and args.lick is not None:
        raise UsageError("reedwright vary: -o goes with --level; copy the lick you like.")
    if args.out is not None and os.path.lexists(args.out):
        raise FileError(args.out, "is there already", "choose another name")
    source = read_source(args.tune)
    report = report_of(source, None)
    if not report.ok:
        return refuse(report, source, terminal)
    if args.lick is not None:
        _propose(args, report.score, terminal)
    else:
        _level(args, report.score, terminal)
    return FINE


def _propose(args: Namespace, score: Score, terminal: Terminal) -> None:
    from reedwright.tune.values import TuneText
    from reedwright.tune.write import write_tune
    from reedwright.vary.proposals import vary

    found = vary(score, args.lick, args.count)
    for number, each in enumerate(found, 1):
        terminal.say(terminal.style(f"{number}. {each.changed}", "bold"))
        terminal.say(f"   {each.why} ({each.cost:.1f} points)")
        written = write_tune(TuneText((), (each.lick,)), score.tune.signed)
        bars = [line for line in written.splitlines()[1:] if line[:1] not in ">#"]
        terminal.say("\n".join(f"   {line}" for line in bars))
        terminal.say()
    if not found:
        terminal.say("No variation passes the checks the lick passes.")
    else:
        terminal.say("Copy the bars you like over those of the lick, or into a new one.")


def _level(args: Namespace, score: Score, terminal: Terminal) -> None:
    from reedwright.tune.write import write_tune
    from reedwright.vary.levels import for_level

    made = for_level(score, args.level)
    text = write_tune(made.text, score.tune.signed)
    if args.out is None:
        terminal.data(text.encode("utf-8"))
        return
    write_whole(Path(args.out), text.encode("utf-8"))
    for each in made.changes:
        where = f"{each.lick}, bar {each.bar} beat {float(each.beat):g}"
        terminal.say(f"{where}: {each.was} is now {each.now}; {each.why}")
    name = one_line(args.out)
    count = len(made.changes)
    terminal.say(
        f"{name}: written, {count} change{'s' * (count != 1)}. Next: reedwright check {name}"
    )
