"""The shelf as a list: each tune with title, harp, key, level, difficulty, and when it changed.

Conventions: `changed_at` in seconds since 1970. What a tune is costs some milliseconds to work out,
so it is kept by the stamp of its file; what is not known within `WAIT_S` comes later, and the page
is told then. A tune with faults has `trouble`, its first one.
"""

from __future__ import annotations

import asyncio
import time
from typing import TYPE_CHECKING, Any

from starlette.concurrency import run_in_threadpool

from reedwright.desk.shelf import Stamp
from reedwright.errors import InputError, ReedwrightError
from reedwright.lesson.study import study
from reedwright.tune.load import SUFFIX

if TYPE_CHECKING:
    from reedwright.desk.desk import Desk

WAIT_S = 0.4
_NOTHING = {"title": "", "harp": "", "key": "", "level": "", "difficulty": None}
_LONGEST = 1_000
"""Bars; longer tunes are listed without their difficulty."""


class Rows:
    """The rows of one desk's shelf."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._known: dict[str, tuple[Stamp, dict[str, Any]]] = {}
        self._working: asyncio.Task[None] | None = None

    async def all(self) -> list[dict[str, Any]]:
        """A row for every tune, the one changed last first."""
        stamps = await run_in_threadpool(lambda: dict(self._desk.shelf.stamps()))
        self._known = {name: known for name, known in self._known.items() if name in stamps}
        if any(not self._fresh(name, stamp) for name, stamp in stamps.items()):
            if self._working is None or self._working.done():
                self._working = asyncio.create_task(self._work(stamps))
            await asyncio.wait([self._working], timeout=WAIT_S)
        rows = [
            {"name": name, **self._row(name), "changed_at": stamp.mtime_ns / 1e9}
            for name, stamp in stamps.items()
        ]
        return sorted(rows, key=lambda row: (-row["changed_at"], row["name"]))

    def _fresh(self, name: str, stamp: Stamp) -> bool:
        known = self._known.get(name)
        return known is not None and known[0] == stamp

    def _row(self, name: str) -> dict[str, Any]:
        known = self._known.get(name)
        return known[1] if known else {**_NOTHING, "title": name}

    async def _work(self, stamps: dict[str, Stamp]) -> None:
        began_s = time.monotonic()
        for name, stamp in stamps.items():
            if not self._fresh(name, stamp):
                self._known[name] = stamp, await run_in_threadpool(self._made, name)
        if time.monotonic() - began_s > WAIT_S:
            self._desk.hub.changed("", 0)

    def _made(self, name: str) -> dict[str, Any]:
        try:
            looked = self._desk.looked(name, self._desk.shelf.read(name).text)
        except InputError as error:
            return {**_NOTHING, "title": name, "trouble": error.problems[0].found}
        except ReedwrightError as error:
            return {**_NOTHING, "title": name, "trouble": str(error)}
        if looked.report is None:
            trouble = looked.problems[0].found
            return {**_NOTHING, "title": name, "trouble": trouble}
        tune, score = looked.report.score.tune, looked.score
        hard = None
        if score is not None and score.events and score.bars <= _LONGEST:
            hard = round(study(score).difficulty.number, 1)
        return {
            "title": tune.title or name.removesuffix(SUFFIX),
            "harp": tune.harp.name,
            "key": tune.key_name,
            "level": tune.student,
            "difficulty": hard,
        }
