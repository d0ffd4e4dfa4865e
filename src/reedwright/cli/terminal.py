"""Where words go: standard output and error, in colour or plain, in any character set.

Conventions: colour (ECMA-48) only where a person watches: on a terminal, unless NO_COLOR is set
(the informal standard of that name) or TERM says `dumb`. Signs that the terminal's character set
lacks are written in plain letters instead. Data (a tune, JSON, SVG) is UTF-8 bytes always.
"""

from __future__ import annotations

import codecs
import os
import shutil
import sys
from collections.abc import Mapping
from typing import TextIO

_PLAIN = {
    "♭": "b", "♯": "#", "′": "'", "’": "'", "‘": "'", "“": '"', "”": '"', "–": "-", "—": "-",
    "−": "-", "×": "x", "…": "...", "·": "-", "→": "->", "←": "<-", "↑": "^", "↓": "v", "°": "o",
}  # fmt: skip
_BEHAVIOUR = "reedwright-plain"
STYLES = {"bold": "1", "dim": "2", "error": "1;31", "warning": "33", "advice": "36", "fine": "32"}


def _plainly(error: UnicodeError) -> tuple[str | bytes, int]:
    """An error handler for encoding: near signs instead of missing ones."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    missing = error.object[error.start : error.end]
    return "".join(_PLAIN.get(sign, "?") for sign in missing), error.end


class Terminal:
    """Standard output and error of one run."""

    def __init__(
        self,
        out: TextIO | None,
        err: TextIO | None,
        environment: Mapping[str, str],
    ) -> None:
        self._out, self._err = out, err
        plain = bool(environment.get("NO_COLOR")) or environment.get("TERM") == "dumb"
        self.watched = _watched(out)
        self.colour = self.watched and not plain
        self.watched_errors = _watched(err)
        self.colour_of_errors = self.watched_errors and not plain
        self.width = shutil.get_terminal_size().columns if self.watched else 80
        codecs.register_error(_BEHAVIOUR, _plainly)
        for stream in (out, err):
            reconfigure = getattr(stream, "reconfigure", None)
            if reconfigure is not None:
                reconfigure(errors=_BEHAVIOUR)

    @classmethod
    def of_process(cls) -> Terminal:
        return cls(sys.stdout, sys.stderr, os.environ)

    def say(self, text: str = "") -> None:
        """A line, or lines, for a person."""
        if self._out is not None:
            self._out.write(text + "\n")

    def complain(self, text: str) -> None:
        """A line, or lines, on standard error."""
        for stream, words in ((self._out, ""), (self._err, text + "\n")):
            try:
                if stream is not None:
                    stream.write(words)
                    stream.flush()
            except OSError:  # full or closed: what was to be said is lost, the exit code stays
                silence(stream)

    def draw(self, text: str) -> None:
        """Draw a line over the one drawn before, on standard error, where a person watches; nothing
        takes it away."""
        if not self.watched_errors or self._err is None:
            return
        room = max(shutil.get_terminal_size().columns - 1, 20)
        try:
            self._err.write(f"\r{text[:room]}\x1b[K")
            self._err.flush()
        except OSError:
            silence(self._err)

    def data(self, data: bytes) -> None:
        """Bytes for another program."""
        if self._out is None:
            return
        self._out.flush()
        buffer = getattr(self._out, "buffer", None)
        if buffer is None:
            self._out.write(data.decode("utf-8"))
        else:
            buffer.write(data)

    def flush(self) -> None:
        if self._out is not None:
            self._out.flush()

    def style(self, text: str, style: str) -> str:
        """Text for `say`, in a style of `STYLES` where there is colour."""
        return paint(text, style) if self.colour else text

    def error_style(self, text: str, style: str) -> str:
        """The same for `complain`."""
        return paint(text, style) if self.colour_of_errors else text


def silence(stream: TextIO | None) -> None:
    """Let what could not be written go, so that it is not tried again at exit."""
    try:
        if stream is not None:
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, stream.fileno())
            os.close(nowhere)
    except (OSError, ValueError):  # no such device, or a stream without a file
        return


def paint(text: str, style: str) -> str:
    return f"\x1b[{STYLES[style]}m{text}\x1b[0m"


def _watched(stream: TextIO | None) -> bool:
    try:
        return stream is not None and stream.isatty()
    except ValueError:  # closed by whoever started us
        return False
