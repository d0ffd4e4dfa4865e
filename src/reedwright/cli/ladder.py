"""`reedwright ladder`: the techniques a tune's header may name, from first to last."""

from __future__ import annotations

import json
import os
from argparse import Namespace
from pathlib import Path

from reedwright.cli.codes import FINE
from reedwright.cli.parser import Parser
from reedwright.cli.terminal import Terminal
from reedwright.errors import FileError
from reedwright.files import reason, write_whole
from reedwright.tables import EDITABLE, FOLDER_VARIABLE, packaged_text
from reedwright.tune.techniques import Ladder, Technique, ladder

DESCRIPTION = """\
List the techniques by level, with their difficulty (1: a first lesson, 10: years)
and what to have first. `Student: steady` in a tune's header stands for a level
and everything below it; `Can: shake` and `Not yet: 3d'` add and take away.

The ladder is one table that you may edit: `--copy FOLDER` puts it there, and
the environment variable REEDWRIGHT_TABLES=FOLDER makes every command use it."""

EXAMPLES = (
    "reedwright ladder                    all of it",
    "reedwright ladder --level improver   one level",
    "reedwright ladder --json             for a program",
    "reedwright ladder --copy my-tables   the tables, to edit",
)

SCHEMA = "reedwright.ladder/1"


def arguments(parser: Parser) -> None:
    levels = ladder().levels
    level = parser.add_argument(
        "--level", choices=levels, metavar="LEVEL", help=f"only one of {', '.join(levels)}"
    )
    parser.complete(level, levels)
    parser.add_argument("--json", action="store_true", help="print JSON")
    parser.add_argument(
        "--copy", metavar="FOLDER", help="copy the tables that may be edited into a folder"
    )


def run(args: Namespace, terminal: Terminal) -> int:
    if args.copy is not None:
        return _copy(Path(args.copy or "."), terminal)
    steps = ladder()
    levels = [args.level] if args.level else list(steps.levels)
    chosen = [technique for technique in steps.techniques.values() if technique.level in levels]
    if args.json:
        rows = [_row(technique) for technique in chosen]
        document = {"schema": SCHEMA, "levels": levels, "techniques": rows}
        terminal.data((json.dumps(document, indent=2, ensure_ascii=False) + "\n").encode("utf-8"))
        return FINE
    for number, level in enumerate(levels):
        if number:
            terminal.say()
        terminal.say(terminal.style(level, "bold"))
        for technique in sorted(chosen, key=lambda one: one.difficulty):
            if technique.level == level:
                terminal.say(_line(technique, steps).rstrip())
    return FINE


def _copy(folder: Path, terminal: Terminal) -> int:
    """Copy the editable tables, never over a file that is there."""
    for name in EDITABLE:
        if os.path.lexists(folder / name):
            raise FileError(str(folder / name), "is there already", "name another folder")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        raise FileError(str(folder), reason(error), "name a folder you may write to") from None
    for name in EDITABLE:
        write_whole(folder / name, packaged_text(name).encode("utf-8"))
    terminal.say(f"{', '.join(EDITABLE)} in {folder}; to use them: {FOLDER_VARIABLE}={folder}")
    return FINE


def _row(technique: Technique) -> dict[str, object]:
    return {
        "id": technique.id,
        "name": technique.name,
        "level": technique.level,
        "difficulty": technique.difficulty,
        "needs": list(technique.needs),
    }


def _line(technique: Technique, steps: Ladder) -> str:
    needs = ", ".join(technique.needs)
    width = max(len(one.name) for one in steps.techniques.values())
    after = f"after {needs}" if needs else ""
    return f"  {technique.difficulty:>4g}  {technique.id:<15} {technique.name:<{width}}  {after}"
