"""`reedwright sheet`: one sheet of a tune, its kind told by the ending of its name."""

from __future__ import annotations

import os
from argparse import Namespace
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from reedwright.cli.check import report_of, tempo_of
from reedwright.cli.choosing import add_choices
from reedwright.cli.codes import FINE
from reedwright.cli.faulty import refuse
from reedwright.cli.parser import FILES, TUNES, Parser, UsageError
from reedwright.cli.source import read_source
from reedwright.cli.terminal import Terminal
from reedwright.errors import one_line
from reedwright.files import write_whole

if TYPE_CHECKING:
    from reedwright.check.check import Report
    from reedwright.pack.choices import Choices

KINDS = {
    ".pdf": "to print",
    ".svg": "for a page on a screen; from the second page on as NAME-2.svg …",
    ".musicxml": "for notation programs",
    ".mid": "to listen to, with the count-in",
    ".txt": "plain text",
}

DESCRIPTION = "Write one sheet of a tune. The ending of its name says which:\n" + "\n".join(
    f"  {ending:<10} {what}" for ending, what in KINDS.items()
)

EXAMPLES = (
    "reedwright sheet my-tune.reed -o my-tune.pdf",
    "reedwright sheet my-tune.reed -o my-tune.pdf --paper letter --large",
    "reedwright sheet my-tune.reed -o my-tune.txt --tab letters",
    "reedwright sheet my-tune.reed -o slow.mid --tempo 60",
)


def arguments(parser: Parser) -> None:
    tune = parser.add_argument("tune", metavar="TUNE", help="a tune file, or -")
    out = parser.add_argument("-o", "--out", required=True, metavar="FILE", help="what to write")
    parser.complete(tune, TUNES)
    parser.complete(out, FILES)
    add_choices(parser)
    parser.add_argument("--large", action="store_true", help="large print (PDF)")
    parser.add_argument("--tempo", metavar="BPM", help="counted beats a minute (the full tempo)")


def run(args: Namespace, terminal: Terminal) -> int:
    from reedwright.pack.choices import Choices
    from reedwright.sheet.options import TabStyle

    out = Path(args.out)
    if out.suffix.lower() not in KINDS:
        endings = ", ".join(KINDS)
        raise UsageError(f"reedwright sheet: {out.name!r} must end in one of {endings}.")
    if args.large and out.suffix.lower() != ".pdf":
        raise UsageError("reedwright sheet: --large is for a PDF; leave it out.")
    tempo = tempo_of(args.tempo, "sheet")
    source = read_source(args.tune)
    report = report_of(source, tempo)
    if not report.ok:
        return refuse(report, source, terminal)
    made = _made(report, Choices(args.paper, TabStyle(args.tab), tempo), out, large=args.large)
    for path in made:
        _spare_the_tune(path, source.path)
    for path, data in made.items():
        write_whole(path, data)
        terminal.say(f"{one_line(str(path))}: written")
    for path in _later_pages(out, len(made)):
        terminal.say(f"{one_line(str(path))}: not of this sheet; left as it is")
    return FINE


def _page(out: Path, number: int) -> Path:
    return out if number == 1 else out.with_stem(f"{out.stem}-{number}")


def _later_pages(out: Path, count: int) -> Iterator[Path]:
    """Files that look like further pages, as a longer tune leaves them. Nobody can tell whether
    they are ours, so they stay, and are told."""
    if out.suffix.lower() != ".svg":
        return
    while os.path.lexists(path := _page(out, count + 1)):
        yield path
        count += 1


def _spare_the_tune(path: Path, tune: Path) -> None:
    """A tune may be called `a.txt`; its own sheet must not take its place. Errors: UsageError."""
    try:
        same = path.samefile(tune)
    except OSError:  # one of the two is not there, as in `-o new.pdf` or with standard input
        return
    if same:
        name = one_line(str(path))
        raise UsageError(f"reedwright sheet: {name} is the tune itself; write to another file.")


def _made(report: Report, choice: Choices, out: Path, *, large: bool) -> dict[Path, bytes]:
    from reedwright.pack import contents
    from reedwright.sheet.limits import refuse_endless

    if out.suffix.lower() in (".pdf", ".svg"):
        refuse_endless(report.score)
    if out.suffix.lower() == ".pdf":
        return {out: contents.print_file(report, choice, large=large)}
    if out.suffix.lower() == ".svg":
        pages = contents.page_files(report, choice)
        return {_page(out, number): page for number, page in enumerate(pages, 1)}
    made: dict[str, Callable[[Report, Choices], bytes]] = {
        ".musicxml": contents.musicxml_file,
        ".mid": contents.midi_file,
        ".txt": contents.text_file,
    }
    return {out: made[out.suffix.lower()](report, choice)}
