"""The desk as a whole: the shelf, its open tunes, how each looks, and the workers beside.

Conventions: used from the event loop; blocking work goes into threads or workers. A look is worked
out once for each version, however many windows ask, and begun when the edit is kept, before anyone
asks.
"""

from __future__ import annotations

import asyncio
import json
from collections import OrderedDict
from pathlib import Path
from typing import TypeVar

from starlette.concurrency import run_in_threadpool

from reedwright.desk import jobs
from reedwright.desk.beside import neighbour
from reedwright.desk.book import State
from reedwright.desk.books import Books
from reedwright.desk.faults import GONE, WRONG, DeskError, problem_json, refused
from reedwright.desk.hub import Hub
from reedwright.desk.jobs import engraving_ready, sound_ready, thinking_ready
from reedwright.desk.look import Looked, look_bytes, looked_at
from reedwright.desk.packing import Packing
from reedwright.desk.seal import Seals, key_folder
from reedwright.desk.shelf import Shelf
from reedwright.desk.workers import Worker
from reedwright.errors import Problem
from reedwright.tune.findings import Severity
from reedwright.tune.load import SUFFIX

_KEPT = 12
"""Looks held ready, a few tunes' newest; one of 48 bars is 0.2 MB (measured)."""

STAFF_S, SOUND_S, THINKING_S = 30.0, 120.0, 60.0
"""What a worker may take for a job before it counts as hung; from memory, ten times the longest
tune that is still engraved, played and varied."""

WARM_S = 0.8
"""After the engraver: two cores cannot start three workers at once (from memory)."""

Look = tuple[Looked, bytes]


class Desk:
    """See the module."""

    def __init__(self, folder: Path) -> None:
        self.shelf = Shelf(folder)
        self.shelf.prepare()
        self.hub = Hub()
        self.books = Books(self.shelf, self.hub)
        self.engraver = Worker(engraving_ready, STAFF_S)
        self.player = Worker(sound_ready, SOUND_S)
        self.thinker = Worker(thinking_ready, THINKING_S)
        self.packing = Packing(self.shelf.folder, Seals(key_folder(), self.shelf.own))
        self._warm = False
        self._drawn: set[str] = set()
        self._newest: dict[str, int] = {}
        self._staffs: OrderedDict[tuple[str, int], asyncio.Future[str]] = OrderedDict()
        self._looks: OrderedDict[tuple[str, int], asyncio.Future[Look]] = OrderedDict()

    async def begin(self) -> None:
        await self.books.recover()
        self.books.begin()

    def warm(self) -> None:
        """A tune was opened: let the workers get ready, the engraver first."""
        if not self._warm:
            self._warm = True
            self.engraver.begin()
            for worker in (self.player, self.thinker):
                asyncio.get_running_loop().call_later(WARM_S, worker.begin)

    async def end(self) -> None:
        await self.hub.close()
        await self.packing.end()
        for worker in self._workers:
            await worker.end()
        await self.books.end()
        self.shelf.release()

    @property
    def _workers(self) -> tuple[Worker, ...]:
        return self.engraver, self.player, self.thinker

    async def at(self, name: str, version: int | None) -> State:
        """A tune, which must be at this version. Errors: DeskError 410 when it has moved on."""
        state = (await self.books.book(name)).state()
        if version is not None and version != state.version:
            raise _overtaken(version, state.version)
        return state

    async def look(self, name: str, version: int | None = None) -> Look:
        """How a tune looks. Errors: as `at`."""
        state = await self.at(name, version)
        return await asyncio.shield(self.look_at(name, state))

    def look_at(self, name: str, state: State) -> asyncio.Future[Look]:
        """The look of a state, begun now if nobody has begun it."""
        key = name, state.version
        self._newest[name] = max(state.version, self._newest.get(name, 0))
        look = self._looks.get(key)
        if look is None or (look.done() and (look.cancelled() or look.exception())):
            look = asyncio.ensure_future(run_in_threadpool(self._looked, name, state))
            look.add_done_callback(lambda done: self._draw_ahead(name, done))
            _keep(self._looks, key, look)
        return look

    def _looked(self, name: str, state: State) -> Look:
        looked = self.looked(name, state.text, state.version)
        return looked, look_bytes(looked)

    def looked(self, name: str, text: str, version: int = 0) -> Looked:
        """A text read and checked as the tune of this name; blocking."""
        beside = neighbour(self.shelf.folder)
        return looked_at(text, version, f"{name}{SUFFIX}", beside)

    async def staff(self, name: str, looked: Looked) -> str:
        """The music of a tune that was looked at, drawn once for all windows. Errors: as the
        engraver's; DeskError 410 when a newer text was asked for meanwhile."""
        self._drawn.add(name)
        if looked.version < self._newest.get(name, 0):
            raise _overtaken(looked.version, self._newest[name])
        return await asyncio.shield(self._staff_at(name, looked))

    def _staff_at(self, name: str, looked: Looked) -> asyncio.Future[str]:
        key = name, looked.version
        staff = self._staffs.get(key)
        if staff is None or (staff.done() and (staff.cancelled() or staff.exception())):
            args = (str(self.shelf.folder), name, looked.text, None)
            work = self.engraver.do(jobs.staff, *args, place=f"staff {name}")
            staff = asyncio.ensure_future(work)
            _keep(self._staffs, key, staff)
        return staff

    def _draw_ahead(self, name: str, look: asyncio.Future[Look]) -> None:
        """A tune whose music is looked at is drawn as soon as it can be read."""
        if look.cancelled() or look.exception() or name not in self._drawn:
            return
        looked, _ = look.result()
        if looked.version < self._newest.get(name, 0):
            return  # a late look at an old text must not push the newest picture aside
        if looked.score is not None and looked.score.events:
            self._staff_at(name, looked)

    async def playable(self, name: str, version: int | None = None) -> Looked:
        """A tune without errors. Errors: DeskError 422 with all findings."""
        looked, _ = await self.look(name, version)
        if looked.score is None:
            raise _not_playable(looked)
        return looked


def _overtaken(asked: int, newest: int) -> DeskError:
    found = f"the tune is at version {newest}, not {asked}"
    return refused(GONE, found, "", "ask for the newest")


T = TypeVar("T")


def _keep(
    kept: OrderedDict[tuple[str, int], asyncio.Future[T]],
    key: tuple[str, int],
    made: asyncio.Future[T],
) -> None:
    """Remember the newest few."""
    made.add_done_callback(_seen)
    kept[key] = made
    kept.move_to_end(key)
    while len(kept) > _KEPT:
        kept.popitem(last=False)


def _seen(made: asyncio.Future[T]) -> None:
    """An error nobody waits for is no trouble: it is told to whoever asks next."""
    if not made.cancelled():
        made.exception()


def _not_playable(looked: Looked) -> DeskError:
    problems = list(looked.problems)
    if looked.report is not None:
        problems = [
            Problem(f"{finding.where}: {finding.found}".removeprefix(": "), mend=finding.mend)
            for finding in looked.report.findings
            if finding.severity is Severity.ERROR
        ]
    count = len(problems)
    found = f"the tune has {count} error{'s' * (count != 1)}: {problems[0].found}"
    mend = problems[0].mend or "look at the findings"
    more = {"problems": json.loads(json.dumps([problem_json(each) for each in problems[:100]]))}
    return DeskError(WRONG, Problem(found, problems[0].rule, mend), more)
