"""Progress drawn on one line of the terminal while long work is done.

Conventions: drawn on standard error and only where a person watches; a file or a pipe gets nothing.
Drawn at most ten times a second, and taken away at the end.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from types import TracebackType

from reedwright.cli.terminal import Terminal
from reedwright.errors import one_line

_PAUSE_S = 0.1
_BAR = 24  # signs
_SURE_AFTER_S = 2.0  # before that, what is left cannot be told


class Progress:
    """`with Progress(terminal) as progress: progress.step(3, 60, "audio/call-60.mp3")`"""

    def __init__(self, terminal: Terminal, now_s: Callable[[], float] = time.monotonic) -> None:
        self._terminal, self._now_s = terminal, now_s
        self._begun_s = now_s()
        self._drawn_s = -_PAUSE_S

    def step(self, done: float, total: float, what: str) -> None:
        """Say that `done` of `total` is done, and what is being made."""
        now_s = self._now_s()
        if now_s - self._drawn_s < _PAUSE_S and done < total:
            return
        self._drawn_s = now_s
        share = min(max(done / total, 0.0), 1.0) if total > 0 else 1.0
        self._terminal.draw(f"{_bar(share)} {_left(share, now_s - self._begun_s)}{one_line(what)}")

    def __enter__(self) -> Progress:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._terminal.draw("")


def _bar(share: float) -> str:
    full = round(share * _BAR)
    return f"{'=' * full}{'.' * (_BAR - full)} {share:4.0%}"


def _left(share: float, spent_s: float) -> str:
    """`about 40 s left, `; nothing while it cannot be told."""
    if spent_s < _SURE_AFTER_S or share <= 0 or share >= 1:
        return ""
    left_s = spent_s * (1 - share) / share
    told = f"{round(left_s)} s" if left_s < 90 else f"{round(left_s / 60)} min"
    return f"about {told} left, "
