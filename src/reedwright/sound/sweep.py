"""Keeping a store of files below its limit: what was used longest ago goes first.

Conventions: sizes in bytes; the time a file was last used is its time of change, which reading an
entry renews. Other runs may add and take away files meanwhile: what is gone is not missed. What a
killed run left half written is taken away after an hour.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

DOWN_TO = 0.9
"""Share of the limit that is left after a sweep, so that not every entry causes one."""

STALE_S = 3_600.0


class Sweeper:
    """Watches how much is written into a folder, and sweeps it when that may be too much."""

    def __init__(
        self, folder: Path, limit_bytes: int, now_s: Callable[[], float] = time.time
    ) -> None:
        self._folder, self._limit, self._now_s = folder, limit_bytes, now_s
        self._size: int | None = None  # not looked at yet
        self._lock = threading.Lock()

    def grown(self, by_bytes: int) -> None:
        """Say that an entry was written."""
        with self._lock:
            if self._size is None:
                self._size = sum(size for _, size, _ in self._files())
            else:
                self._size += by_bytes
            if self._size > self._limit:
                self._size = self._sweep()

    def _sweep(self) -> int:
        """Take the oldest files away; what is left, in bytes."""
        files = sorted(self._files())
        left = sum(size for _, size, _ in files)
        for used_s, size, path in files:
            unfinished = path.name.startswith(".new-")
            if unfinished and self._now_s() - used_s < STALE_S:
                continue
            if left > DOWN_TO * self._limit or unfinished:
                try:
                    path.unlink(missing_ok=True)
                except OSError:  # somebody else's: let it lie
                    continue
                left -= size
        return left

    def _files(self) -> Iterator[tuple[float, int, Path]]:
        """Last use, size and path of every entry."""
        for folder in self._folder.glob("[0-9a-f][0-9a-f]"):
            try:
                found = list(folder.iterdir())
            except OSError:  # no folder, or not ours to look into: let it lie
                continue
            for path in found:
                try:
                    status = path.stat()
                except OSError:  # gone meanwhile
                    continue
                yield status.st_mtime, status.st_size, path
