"""`reedwright ladder`: the techniques a tune's header may name, from first to last."""

from __future__ import annotations

import json
from argparse import Namespace

from reedwright.cli.parser import Parser
from reedwright.cli.terminal import Terminal
from reedwright.tune.techniques import Ladder, Technique, ladder

DESCRIPTION = """\
List the techniques by level, with their difficulty (1: a first lesson, 10: years)
and what to have first. `Student: steady` in a tune's header stands for a level
and everything below it; `Can: shake` and `Not yet: 3d'` add and take away."""

EXAMPLES = (
    "reedwright ladder                    all of it",
    "reedwright ladder --level improver   one level",
    "reedwright ladder --json             for a program",
)

SCHEMA = "reedwright.ladder/1"


def arguments(parser: Parser) -> None:
    levels = ladder().levels
    level = parser.add_argument(
        "--level", choices=levels, metavar="LEVEL", help=f"only one of {', '.join(levels)}"
    )
    parser.complete(level, levels)
    parser.add_argument("--json", action="store_true", help="print JSON")


def run(args: Namespace, terminal: Terminal) -> int:
    steps = ladder()
    levels = [args.level] if args.level else list(steps.levels)
    chosen = [technique for technique in steps.techniques.values() if technique.level in levels]
    if args.json:
        rows = [_row(technique) for technique in chosen]
        document = {"schema": SCHEMA, "levels": levels, "techniques": rows}
        terminal.data((json.dumps(document, indent=2, ensure_ascii=False) + "\n").encode("utf-8"))
        return 0
    for number, level in enumerate(levels):
        if number:
            terminal.say()
        terminal.say(terminal.style(level, "bold"))
        for technique in sorted(chosen, key=lambda one: one.difficulty):
            if technique.level == level:
                terminal.say(_line(technique, steps).rstrip())
    return 0


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
