"""`reedwright tidy`: the same tune, evenly written."""

from __future__ import annotations

import shlex
from argparse import Namespace

from reedwright.cli.codes import FAULTY, FINE
from reedwright.cli.parser import TUNES, Parser, UsageError
from reedwright.cli.source import STDIN, FaultyTuneError, Source, read_source
from reedwright.cli.terminal import Terminal
from reedwright.errors import InputError, one_line
from reedwright.files import write_whole
from reedwright.tune.read import read_text
from reedwright.tune.write import write_tune

DESCRIPTION = """\
Write a tune evenly: one space between beats, one blank line between licks, every
sign spelt one way. The music, the remarks and the comments stay what they are.
Without --write the tidy text is printed and the file is left alone."""

EXAMPLES = (
    "reedwright tidy my-tune.reed            print the tidy text",
    "reedwright tidy --write my-tune.reed    tidy the file itself",
    "reedwright tidy --check *.reed          only say which files are not tidy",
    "reedwright tidy - < my-tune.reed        from standard input",
)


def arguments(parser: Parser) -> None:
    tunes = parser.add_argument("tunes", nargs="+", metavar="TUNE", help="a tune file, or -")
    parser.complete(tunes, TUNES)
    way = parser.add_mutually_exclusive_group()
    way.add_argument("--write", action="store_true", help="change the files themselves")
    way.add_argument(
        "--check", action="store_true", help="change nothing; exit 1 if a file is not tidy"
    )


def run(args: Namespace, terminal: Terminal) -> int:
    if len(args.tunes) > 1 and not (args.write or args.check):
        raise UsageError("reedwright tidy: several tunes need --write or --check.")
    if args.write and STDIN in args.tunes:
        raise UsageError("reedwright tidy: standard input cannot be written; leave --write out.")
    sources = [read_source(word) for word in args.tunes]
    pairs = [(source, tidied(source)) for source in sources]
    if not (args.write or args.check):
        terminal.data(pairs[0][1].encode("utf-8"))
        return FINE
    untidy = [(source, text) for source, text in pairs if text != source.text]
    for source, text in untidy:
        if args.write:
            write_whole(source.path, text.encode("utf-8"))
        terminal.say(f"{one_line(str(source.path))}: {'tidied' if args.write else 'not tidy'}")
    _sum_up(args, len(pairs), [source for source, _ in untidy], terminal)
    return FAULTY if args.check and untidy else FINE


def tidied(source: Source) -> str:
    """The tidy text of a tune. Errors: FaultyTuneError."""
    try:
        written, signed = read_text(source.text, str(source.path))
    except InputError as error:
        raise FaultyTuneError(error, source) from None
    text = write_tune(written, signed)
    if read_text(text) != (written, signed):  # a teacher's file is at stake
        raise RuntimeError("the tidy text would read differently")
    return text


def _sum_up(args: Namespace, count: int, untidy: list[Source], terminal: Terminal) -> None:
    if not untidy:
        terminal.say(f"{count} tune{'s' * (count != 1)}, tidy.")
    elif args.check:
        files = [one_line(str(source.path)) for source in untidy if not source.is_stdin]
        mend = f"--write {shlex.join(files)}" if files else "- prints it evenly written"
        terminal.say(f"Mend: reedwright tidy {mend}")
