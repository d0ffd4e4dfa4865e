"""The command line's grammar on top of argparse: every command a parser of its own.

Conventions: a wrong word is answered by one line that says what was found and where help is. What
an argument may be completed with stands beside the argument (`Parser.complete`), so that the
scripts of `completion` follow from the parsers.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from difflib import get_close_matches
from importlib import import_module
from typing import NoReturn

from reedwright.cli.commands import COMMANDS
from reedwright.errors import ReedwrightError

TUNES, FILES, FOLDERS = "tunes", "files", "folders"
"""Kinds of paths an argument may be completed with."""


class UsageError(ReedwrightError):
    """Words on the command line that make no sense together."""


class _Help(argparse.RawDescriptionHelpFormatter):
    """Help in paragraphs as written, at most 80 wide so that it reads the same everywhere."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, max_help_position=26, width=80)


class Parser(argparse.ArgumentParser):
    """A parser whose faults are `UsageError`; `completions` by argument."""

    def __init__(self, command: str, description: str, examples: Sequence[str]) -> None:
        self.completions: dict[str, str | tuple[str, ...]] = {}
        shown = "\n".join(f"  {example}" for example in examples)
        super().__init__(
            prog=f"reedwright {command}".rstrip(),
            description=description,
            epilog=f"examples:\n{shown}",
            formatter_class=_Help,
            allow_abbrev=False,
        )

    def complete(self, action: argparse.Action, what: str | Sequence[str]) -> None:
        """Say what an argument is completed with: a kind of path, or these words."""
        self.completions[action.dest] = what if isinstance(what, str) else tuple(what)

    def error(self, message: str) -> NoReturn:
        text = message[:1].lower() + message[1:]
        raise UsageError(f"{self.prog}: {text}. See `{self.prog} --help`.")


def parser_of(command: str) -> Parser:
    """The parser of one command; imports its module."""
    module = import_module(COMMANDS[command].module)
    parser = Parser(command, module.DESCRIPTION, module.EXAMPLES)
    module.arguments(parser)
    return parser


def overview() -> str:
    """What `reedwright --help` prints."""
    width = max(map(len, COMMANDS)) + 2
    lines = [f"  {name:<{width}}{command.summary}" for name, command in COMMANDS.items()]
    return "\n".join(
        (
            "usage: reedwright COMMAND ...",
            "",
            "A harmonica tune as plain text: checked, printed as a lesson sheet, recorded.",
            "",
            "commands:",
            *lines,
            "",
            "  reedwright COMMAND --help   explains a command, with examples",
            "  reedwright --version        prints the version",
            "",
            "Exit codes: 0 no error; 1 the tune has errors; 2 a file cannot be read or",
            "written, or the words make no sense. Set NO_COLOR=1 for no colour.",
        )
    )


def unknown(command: str) -> UsageError:
    """What to say to a command that does not exist."""
    close = get_close_matches(command, COMMANDS, n=1)
    hint = f"did you mean {close[0]}?" if close else f"commands are {', '.join(COMMANDS)}."
    shown = ascii(command[:40])
    return UsageError(f"reedwright: no command {shown}; {hint} See `reedwright --help`.")
