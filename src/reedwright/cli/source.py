"""A tune as named on the command line: a file, or `-` for standard input."""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass
from pathlib import Path

from reedwright.errors import FileError, InputError, Problem, ReedwrightError, one_line
from reedwright.tune.load import MAX_BYTES, SUFFIX, decoded, load_text, tune_from
from reedwright.tune.quote import quoted
from reedwright.tune.reading import MAX_PROBLEMS
from reedwright.tune.tune import Tune

STDIN = "-"
_STDIN_PATH = Path("standard input")


class FaultyTuneError(ReedwrightError):
    """A tune with faults in its text; each is shown with the line it is about beneath it."""

    def __init__(self, error: InputError, source: Source) -> None:
        lines = source.lines
        shown = [line for problem in error.problems for line in _with_source(problem, lines)]
        count = len(error.problems)
        number = f"{count} error{'s' * (count != 1)}"
        if count > MAX_PROBLEMS:  # the last of them only says that the reading stopped
            number = f"{MAX_PROBLEMS} errors or more"
        total = f"{number} in {one_line(str(source.path))}; nothing was checked or made."
        super().__init__("\n".join([*shown, total]))


@dataclass(frozen=True, slots=True)
class Source:
    """The text of a tune and the path it goes by; own tunings are looked for beside that path."""

    path: Path
    text: str

    @property
    def is_stdin(self) -> bool:
        return self.path == _STDIN_PATH

    @property
    def lines(self) -> list[str]:
        """The lines as the tune room counts them."""
        return self.text.replace("\r\n", "\n").replace("\r", "\n").split("\n")

    def tune(self) -> Tune:
        """The tune. Errors: FaultyTuneError, which shows each fault with its line."""
        from reedwright.breath.lungs_header import lungs_faults

        try:
            return tune_from(self.text, self.path, lungs_faults)
        except InputError as error:
            raise FaultyTuneError(error, self) from None


def read_source(word: str) -> Source:
    """The text a word names. Errors: FileError, TuneError (not UTF-8)."""
    if word == STDIN:
        return Source(_STDIN_PATH, decoded(_standard_input(), "standard input"))
    path = Path(word)
    refuse_folder(path)
    return Source(path, load_text(path))


def _standard_input() -> bytes:
    if sys.stdin is None:
        raise FileError("standard input", "closed", "name a file")
    data = sys.stdin.buffer.read(MAX_BYTES + 1)
    if len(data) > MAX_BYTES:
        raise FileError("standard input", f"more than {MAX_BYTES:,} bytes", "send one tune")
    return data


def refuse_folder(path: Path) -> None:
    """Say so when a folder was named, and which tune in it could be meant. Errors: FileError."""
    if not os.path.isdir(path):  # noqa: PTH112 -- Path.is_dir raises where a name is too long
        return
    tunes = sorted(found.name for found in path.glob(f"*{SUFFIX}"))
    mend = f"name a tune in it, such as {tunes[0]}" if tunes else "name a tune file"
    raise FileError(str(path), "a folder, not a tune", mend)


_WIDTH = 100  # characters of a source line shown; a longer one is cut round the place


def _with_source(problem: Problem, lines: list[str]) -> list[str]:
    line, column = problem.place.line, problem.place.column
    if not (0 < line <= len(lines) and column):
        return [str(problem)]
    shown = quoted(lines[line - 1], column, _WIDTH)
    return [str(problem), f"    {shown.text}", f"    {' ' * shown.cells}^"]
