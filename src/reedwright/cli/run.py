"""One run of the command line: find the command, run it, answer for whatever goes wrong.

Exit codes: see `codes`.
"""

from __future__ import annotations

import os
import platform
import sys
from argparse import Namespace
from collections.abc import Sequence
from importlib import import_module

from reedwright import __version__
from reedwright.cli.codes import FINE, OUR_FAULT, STOPPED, UNREAD, UNREADABLE
from reedwright.cli.commands import COMMANDS
from reedwright.cli.parser import UsageError, overview, parser_of, unknown
from reedwright.cli.terminal import Terminal, silence
from reedwright.errors import ReedwrightError, one_line
from reedwright.files import reason


def run(words: Sequence[str]) -> int:
    """Run the words typed behind `reedwright`; never raises."""
    terminal = Terminal.of_process()
    try:
        return _run(words, terminal)
    except KeyboardInterrupt:
        return STOPPED


def _run(words: Sequence[str], terminal: Terminal) -> int:
    try:
        code = _command(words, terminal)
        terminal.flush()
        return code
    except ReedwrightError as error:
        terminal.complain(_painted(str(error), terminal))
        return UNREADABLE
    except OSError as error:
        return unwritten(error)
    except MemoryError:
        terminal.complain("reedwright: not enough memory for this.")
        return UNREADABLE
    except Exception as error:  # noqa: BLE001 -- the last line of defence: no traceback for a teacher
        return _apology(error, words, terminal)


def unwritten(error: OSError) -> int:
    """Answer for an output that takes no more; the exit code."""
    if isinstance(error, BrokenPipeError):
        return _nobody_reads()
    Terminal.of_process().complain(_of_the_system(error))
    silence(sys.stdout)
    return UNREADABLE


def _painted(message: str, terminal: Terminal) -> str:
    """Source lines, which are set in, keep the terminal's own colour."""
    lines = message.split("\n")
    painted = [line if line[:1] == " " else terminal.error_style(line, "error") for line in lines]
    return "\n".join(painted)


def _command(words: Sequence[str], terminal: Terminal) -> int:
    if not words or words[0] in ("--help", "-h", "help"):
        if len(words) == 2 and words[1] in COMMANDS:
            parser_of(words[1]).print_help()
        else:
            terminal.say(overview())
        return FINE if words else UNREADABLE
    if words[0] not in COMMANDS:
        raise unknown(words[0])
    try:
        args = parser_of(words[0]).parse_args(words[1:])
    except SystemExit as asked:  # --help was printed
        return int(asked.code or 0)
    _refuse_empty(words[0], args)
    code: int = import_module(COMMANDS[words[0]].module).run(args, terminal)
    return code


def _refuse_empty(command: str, args: Namespace) -> None:
    """`-o "$DIR"` with nothing in DIR must not mean the folder one is in. Errors: UsageError."""
    for key, value in vars(args).items():
        if value == "" or (isinstance(value, list) and "" in value):
            name = {"wanted": "--for", "key": "KEY"}.get(key, f"--{key}")
            name = key.upper() if key in ("tune", "tunes", "file", "files") else name
            raise UsageError(f"reedwright {command}: {name}: nothing given; write it or drop it.")


def _of_the_system(error: OSError) -> str:
    where = f" ({one_line(str(error.filename))})" if error.filename else ""
    return f"reedwright: {reason(error)}{where}. Mend: check the space left and your rights."


def _apology(error: Exception, words: Sequence[str], terminal: Terminal) -> int:
    if os.environ.get("REEDWRIGHT_DEBUG") == "1":
        raise error
    where = "?"
    trace = error.__traceback__
    while trace is not None:
        where = f"{trace.tb_frame.f_globals.get('__name__', '?')}:{trace.tb_lineno}"
        trace = trace.tb_next
    said = " ".join(f"{type(error).__name__}: {error}".split())[:200]
    terminal.complain(
        "Sorry: this is a fault in reedwright, not in your tune. Nothing was half-written.\n"
        "Please report these two lines, with the tune if you may share it:\n"
        f"  reedwright {__version__}, Python {platform.python_version()}, {sys.platform}, "
        f"command {' '.join(words)[:100]!r}\n"
        f"  {said} ({where})\n"
        "REEDWRIGHT_DEBUG=1 shows the whole traceback."
    )
    return OUR_FAULT


def _nobody_reads() -> int:
    """`reedwright … | head`: stop, and keep the interpreter from complaining at its end."""
    silence(sys.stdout)
    return UNREAD
