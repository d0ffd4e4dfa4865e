"""`reedwright amp`: a rig as levels along the signal, its stage plan, how long one may listen."""

from __future__ import annotations

import json
import os
from argparse import Namespace
from pathlib import Path

from reedwright.cli.codes import FINE
from reedwright.cli.parser import FILES, Parser, UsageError
from reedwright.cli.progress import Progress
from reedwright.cli.terminal import Terminal
from reedwright.errors import FileError
from reedwright.files import write_whole
from reedwright.tune.load import load_text

DESCRIPTION = """\
Show what an amp file describes: the level behind every stage for a soft note with
open hands and a loud one with closed hands, the gain before feedback of its stage
plan, and how long its levels may be listened to. Without FILE: the default rig.

An amp file holds only what differs from the default: `--copy FILE` writes that
one, with its remarks, to change."""

EXAMPLES = (
    "reedwright amp                 the default rig",
    "reedwright amp club.amp        a set-up of your own",
    "reedwright amp --copy my.amp   the default as a file to change",
    "reedwright amp club.amp --json",
)


def arguments(parser: Parser) -> None:
    file = parser.add_argument("file", nargs="?", metavar="FILE", help="an amp file")
    parser.add_argument("--json", action="store_true", help="print JSON")
    copy = parser.add_argument("--copy", metavar="FILE", help="write the default amp file there")
    parser.complete(file, FILES)
    parser.complete(copy, FILES)


def run(args: Namespace, terminal: Terminal) -> int:
    if args.copy is not None:
        if args.file or args.json:
            raise UsageError("reedwright amp: --copy stands alone.")
        return _copy(Path(args.copy), terminal)
    from reedwright.amp.path import document, page
    from reedwright.amp.read import default_rig, read_rig

    rig = read_rig(_text(args.file), args.file) if args.file else default_rig()
    with Progress(terminal) as progress:
        progress.step(0, 1, "measuring; the first time takes some seconds of preparing, once")
        told = document(rig)
    if args.json:
        text = json.dumps(told, indent=2, ensure_ascii=False)
        terminal.data((text + "\n").encode("utf-8"))
    else:
        terminal.say("\n".join(page(told)))
    return FINE


def _text(file: str) -> str:
    """The text of an amp file. Errors: FileError, TuneError (not UTF-8)."""
    if os.path.isdir(file):  # noqa: PTH112 -- Path.is_dir raises where a name is too long
        raise FileError(file, "a folder, not an amp file", "name an amp file")
    return load_text(Path(file))


def _copy(path: Path, terminal: Terminal) -> int:
    """Write the default amp file, never over a file that is there."""
    from reedwright.amp.read import default_text

    if os.path.lexists(path):
        raise FileError(str(path), "is there already", "name another file")
    write_whole(path, default_text().encode("utf-8"))
    terminal.say(f"{path}: the default rig to change. Next: reedwright amp {path}")
    return FINE
