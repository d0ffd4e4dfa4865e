"""`reedwright new`: a small tune to start from, valid and playable as it stands."""

from __future__ import annotations

import os
from argparse import Namespace
from importlib.resources import files
from pathlib import Path

from reedwright.cli.codes import FINE
from reedwright.cli.parser import FILES, Parser, UsageError
from reedwright.cli.terminal import Terminal
from reedwright.errors import FileError, one_line
from reedwright.files import write_whole
from reedwright.harp.harp import parse_harp_name
from reedwright.harp.pitch import KEYS
from reedwright.tune.header import MAX_TITLE
from reedwright.tune.load import SUFFIX

DESCRIPTION = """\
Write a small tune of twelve bars that is ready to be changed: a harp, a form,
a few licks and a running order, with a comment on every kind of line. It is valid
as it stands, so that `reedwright check` has nothing against it."""

EXAMPLES = (
    "reedwright new my-tune.reed",
    'reedwright new back-porch.reed --title "Back Porch" --harp D',
)


def arguments(parser: Parser) -> None:
    file = parser.add_argument("file", metavar="FILE", help="the tune to write, NAME.reed")
    parser.add_argument("--title", metavar="TEXT", help="its title (from the file's name)")
    harp = parser.add_argument("--harp", metavar="KEY", default="A", help="its harp (A)")
    parser.complete(file, FILES)
    parser.complete(harp, KEYS)


def run(args: Namespace, terminal: Terminal) -> int:
    path = Path(args.file)
    if path.suffix != SUFFIX:
        stem = one_line(path.stem).strip(".") or "my-tune"
        rule = f"a tune's file ends in {SUFFIX}, such as {stem}{SUFFIX}"
        raise UsageError(f"reedwright new: {rule}.")
    if os.path.lexists(path):
        raise FileError(str(path), "there is a file of this name", "choose another name")
    key, variant = parse_harp_name(args.harp)
    harp = key if variant.semitones == 0 else f"{variant.value} {key}"
    write_whole(path, starter(_title(args, path), harp).encode("utf-8"))
    name = one_line(str(path))
    terminal.say(f"{name}: twelve bars to change. Next: reedwright check {name}")
    return FINE


def starter(title: str, harp: str) -> str:
    """The text of a starter tune."""
    text = files("reedwright.cli").joinpath("data/starter.reed").read_text(encoding="utf-8")
    return text.replace("@HARP@", harp).replace("@TITLE@", title)


def _title(args: Namespace, path: Path) -> str:
    title = " ".join((args.title or path.stem[:MAX_TITLE].replace("-", " ").title()).split())
    if not 0 < len(title) <= MAX_TITLE or not title.isprintable():
        rule = f"a title is one line of 1 to {MAX_TITLE} characters"
        raise UsageError(f"reedwright new: {rule}; give it by --title.")
    return title
