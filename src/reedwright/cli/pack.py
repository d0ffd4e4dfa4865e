"""`reedwright pack`: all sheets of a tune in one folder, made again only when something changed."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from reedwright.cli.choosing import add_choices
from reedwright.cli.codes import FINE
from reedwright.cli.parser import FOLDERS, TUNES, Parser
from reedwright.cli.terminal import Terminal
from reedwright.errors import FileError, InputError, one_line

if TYPE_CHECKING:
    from reedwright.pack.pack import Packed

DESCRIPTION = """\
Write everything for a lesson into one folder: the printed sheet, also in large
print, the same for a screen, as MusicXML, MIDI and text, the harp's chart, what
the check found, the tune itself, and a list of it all (pack.json).

A tune that has not changed is not made again. Files of yours in that folder are
left alone; a sheet you have changed is kept under another name (sheet.kept.txt)."""

EXAMPLES = (
    "reedwright pack my-tune.reed -o lessons/my-tune",
    "reedwright pack my-tune.reed -o lessons/my-tune --paper letter --tab arrows",
)


def arguments(parser: Parser) -> None:
    tune = parser.add_argument("tune", metavar="TUNE", help="a tune file")
    out = parser.add_argument("-o", "--out", required=True, metavar="DIR", help="the folder")
    parser.complete(tune, TUNES)
    parser.complete(out, FOLDERS)
    add_choices(parser)


def run(args: Namespace, terminal: Terminal) -> int:
    from reedwright.pack.choices import Choices
    from reedwright.pack.pack import pack
    from reedwright.sheet.options import TabStyle

    def tell(name: str) -> None:
        if terminal.watched:
            terminal.say(f"  {name}")
            terminal.flush()

    path, folder = Path(args.tune), Path(args.out)
    try:
        packed = pack(path, folder, Choices(args.paper, TabStyle(args.tab)), tell)
    except (InputError, FileError):
        _explain(path)
        raise
    if packed.refused and packed.report is not None:
        from reedwright.cli.faulty import refuse
        from reedwright.cli.source import read_source

        return refuse(packed.report, read_source(args.tune), terminal)
    _tell(packed, folder, terminal)
    return FINE


def _explain(path: Path) -> None:
    """Say more of what is wrong with a tune than its own room can. Errors: always those."""
    from reedwright.cli.check import report_of
    from reedwright.cli.source import read_source

    report_of(read_source(str(path)), None)  # shows the faults beside their lines


def _tell(packed: Packed, folder: Path, terminal: Terminal) -> None:
    """What was done, and where to look."""
    title = terminal.style(packed.title, "bold")
    where, sheet = one_line(str(folder)), one_line(str(folder / "sheet.pdf"))
    if packed.moved is None:
        terminal.say(f"{title}: nothing has changed, {where} is up to date.")
        return
    count = len(packed.files)
    terminal.say(f"{title}: {count} files in {where}; print {sheet}")
    for name, other in packed.moved.kept:
        terminal.say(f"  {name} was not as we left it; your copy is now {other}")
    for name in packed.moved.gone:
        terminal.say(f"  {name} is not needed any more and is gone")
