"""What other windows are told: which tune changed, and its version.

Conventions: told at most once in `GATHER_S` for each tune, so that fifty open windows do not slow
the one that is typed in; window after window a moment apart. Messages have running numbers, so
that a browser that comes back says what it has seen. A browser opens at most six connections to
one address (HTTP/1.1 practice), so only `MOST_HELD` streams are held open; further windows get an
answer at once and come again after `AGAIN_MS`. Source of the stream's form: WHATWG HTML,
server-sent events.
"""

from __future__ import annotations

import asyncio
import json
from collections import deque
from collections.abc import AsyncIterator
from dataclasses import dataclass, field
from typing import Any

GATHER_S = 0.4
APART_S = 0.01
HOLD_S = 20.0
AGAIN_MS = 1000
MOST_HELD = 2
_KEPT = 256
# All from memory, but for the gates they were measured to keep (bench/bench_desk.py).


@dataclass(slots=True)
class _Waiting:
    """Changes of one tune that nobody was told yet."""

    version: int
    windows: set[str] = field(default_factory=set)
    more: dict[str, Any] = field(default_factory=dict)


class Hub:
    """Used from the event loop only."""

    def __init__(self) -> None:
        self._told: deque[tuple[int, str]] = deque(maxlen=_KEPT)
        self._number = 0
        self._waiting: dict[str, _Waiting] = {}
        self._news = asyncio.Condition()
        self._held = 0
        self._closing = False

    def changed(self, name: str, version: int, window: str = "", **more: Any) -> None:  # noqa: ANN401 - JSON
        """A tune is at another version."""
        waiting = self._waiting.get(name)
        if waiting is None:
            waiting = self._waiting[name] = _Waiting(version)
            asyncio.get_running_loop().call_later(GATHER_S, self._tell, name)
        waiting.version = max(waiting.version, version)
        waiting.windows.add(window)
        waiting.more |= more

    def _tell(self, name: str) -> None:
        waiting = self._waiting.pop(name)
        told: dict[str, Any] = {"name": name, "version": waiting.version, **waiting.more}
        if len(waiting.windows) == 1 and "" not in waiting.windows:
            told["window"] = next(iter(waiting.windows))
        self._number += 1
        self._told.append((self._number, json.dumps({"changed": told}, ensure_ascii=False)))
        self._task = asyncio.ensure_future(self._wake())

    async def _wake(self) -> None:
        async with self._news:
            self._news.notify_all()

    async def close(self) -> None:
        """End all streams."""
        self._closing = True
        await self._wake()

    async def stream(self, seen: int | None) -> AsyncIterator[bytes]:
        """Server-sent events from the message after `seen` on; from now on for None."""
        held = self._held < MOST_HELD
        at = self._number if seen is None or seen > self._number else seen
        yield f"retry: {AGAIN_MS}\nid: {at}\n\n".encode()
        for number, data in self._after(at):
            at = number
            yield _event(number, data)
        if not held:
            return
        self._held += 1
        place = self._held
        try:
            async for number, data in self._coming(at, place):
                yield _event(number, data)
        finally:
            self._held -= 1

    async def _coming(self, at: int, place: int) -> AsyncIterator[tuple[int, str]]:
        ends_s = asyncio.get_running_loop().time() + HOLD_S
        while not self._closing:
            left_s = ends_s - asyncio.get_running_loop().time()
            if left_s <= 0 or not await self._wait(at, left_s):
                return
            await asyncio.sleep(APART_S * place)
            for number, data in self._after(at):
                at = number
                yield number, data

    async def _wait(self, at: int, left_s: float) -> bool:
        """Whether there is news within this time."""
        try:
            async with asyncio.timeout(left_s), self._news:
                await self._news.wait_for(lambda: self._number > at or self._closing)
        except TimeoutError:
            return False
        return not self._closing

    def _after(self, at: int) -> list[tuple[int, str]]:
        return [(number, data) for number, data in self._told if number > at]


def _event(number: int, data: str) -> bytes:
    return f"id: {number}\ndata: {data}\n\n".encode()
