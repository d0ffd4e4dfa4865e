"""`reedwright move`: the same tab on another harp, or the same melody from another position."""

from __future__ import annotations

import os
from argparse import Namespace
from pathlib import Path

from reedwright.cli.codes import FINE
from reedwright.cli.parser import FILES, TUNES, Parser, UsageError
from reedwright.cli.source import read_source
from reedwright.cli.terminal import Terminal
from reedwright.errors import FileError, one_line
from reedwright.files import write_whole
from reedwright.harp.pitch import KEYS
from reedwright.harp.position import POSITIONS, parse_position, position_name
from reedwright.tune.load import SUFFIX
from reedwright.tune.tune import Tune
from reedwright.tune.values import TuneText

DESCRIPTION = """\
Move a tune. With --harp every hole stays and the tune sounds in another key, chords
included. With --position the melody stays, in its key, and every lick finds its holes
on the harp of that position; what cannot be kept is said. Without -o the moved tune is
printed; -o writes a new file and never replaces one."""

EXAMPLES = (
    "reedwright move my-tune.reed --harp C -o my-tune-in-c.reed",
    "reedwright move my-tune.reed --position 3 -o my-tune-third.reed",
)


def arguments(parser: Parser) -> None:
    tune = parser.add_argument("tune", metavar="TUNE", help="a tune file, or -")
    way = parser.add_mutually_exclusive_group(required=True)
    harp = way.add_argument("--harp", metavar="KEY", help="keep the tab: A, low D")
    position = way.add_argument("--position", metavar="N", help="keep the melody: 1 to 12, cross")
    out = parser.add_argument("-o", "--out", metavar="FILE", help="the new tune, NAME.reed")
    parser.complete(tune, TUNES)
    parser.complete(harp, KEYS)
    parser.complete(position, [str(number) for number in POSITIONS])
    parser.complete(out, FILES)


def run(args: Namespace, terminal: Terminal) -> int:
    from reedwright.tune.write import write_tune

    out = Path(args.out) if args.out else None
    if out is not None:
        _check_target(out)
    text, said = _moved(args, read_source(args.tune).tune())
    moved = write_tune(text)
    if out is None:
        terminal.data(moved.encode("utf-8"))
        return FINE
    write_whole(out, moved.encode("utf-8"))
    name = one_line(str(out))
    for line in said:
        terminal.say(line)
    terminal.say(f"{name}: written. Next: reedwright check {name}")
    return FINE


def _moved(args: Namespace, tune: Tune) -> tuple[TuneText, list[str]]:
    """The new text and what to say of it. Errors: HarpError, TuneError."""
    if args.harp:
        from reedwright.fit.newharp import on_harp

        return on_harp(tune, args.harp), [f"The same holes on the {one_line(args.harp)} harp."]
    from reedwright.fit.effort import effort
    from reedwright.fit.retab import from_position

    position = parse_position(args.position)
    found = from_position(tune, position, effort())
    name = position_name(position)
    said = f"{name[0].upper()}{name[1:]} position, {found.harp.name} harp{_octaves(found.octaves)}."
    return found.text, [said, *(f"Not kept: {lost}." for lost in found.lost)]


def _octaves(octaves: int) -> str:
    if not octaves:
        return ""
    count = abs(octaves)
    way = "up" if octaves > 0 else "down"
    return f", {count} octave{'s' * (count > 1)} {way}"


def _check_target(path: Path) -> None:
    if path.suffix != SUFFIX:
        raise UsageError(f"reedwright move: a tune's file ends in {SUFFIX}, such as tune{SUFFIX}.")
    if os.path.lexists(path):
        raise FileError(str(path), "there is a file of this name", "choose another name")
