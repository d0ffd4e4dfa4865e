"""`reedwright completion`: a script that lets a shell finish commands, options and their values.

The scripts follow from the parsers (`spec_of`), so they cannot fall behind them.
"""

from __future__ import annotations

from argparse import Action, Namespace
from dataclasses import dataclass

from reedwright.cli.codes import FINE
from reedwright.cli.commands import COMMANDS
from reedwright.cli.parser import Parser, parser_of
from reedwright.cli.terminal import Terminal

SHELLS = ("bash", "zsh", "fish")

DESCRIPTION = "Print a script that lets your shell finish words with the Tab key."

EXAMPLES = (
    'bash: put this line into ~/.bashrc    eval "$(reedwright completion bash)"',
    'zsh:  put this line into ~/.zshrc     eval "$(reedwright completion zsh)"',
    "      (behind the line with compinit)",
    "fish: reedwright completion fish > ~/.config/fish/completions/reedwright.fish",
)


@dataclass(frozen=True, slots=True)
class Option:
    """One option; `what` completes its value: a kind of path, words, or nothing known."""

    flags: tuple[str, ...]
    help: str
    takes_value: bool
    what: str | tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Spec:
    """One command: its options, and what its plain words are completed with."""

    name: str
    summary: str
    options: tuple[Option, ...]
    words: str | tuple[str, ...]


def arguments(parser: Parser) -> None:
    shell = parser.add_argument("shell", choices=SHELLS, help="the shell you type in")
    parser.complete(shell, SHELLS)


def run(args: Namespace, terminal: Terminal) -> int:
    from reedwright.cli import shells

    script = {"bash": shells.bash, "zsh": shells.zsh, "fish": shells.fish}[args.shell]
    terminal.data(script(specs()).encode("utf-8"))
    return FINE


def specs() -> tuple[Spec, ...]:
    """Every command as its parser defines it."""
    return tuple(spec_of(name) for name in COMMANDS)


def spec_of(command: str) -> Spec:
    parser = parser_of(command)
    actions = parser._actions
    options = tuple(_option(action, parser) for action in actions if action.option_strings)
    plain = [action for action in actions if not action.option_strings]
    words = parser.completions.get(plain[0].dest, "") if plain else ""
    return Spec(command, COMMANDS[command].summary, options, words)


def _option(action: Action, parser: Parser) -> Option:
    return Option(
        flags=tuple(action.option_strings),
        help=action.help or "",
        takes_value=action.nargs != 0,
        what=parser.completions.get(action.dest, ""),
    )
