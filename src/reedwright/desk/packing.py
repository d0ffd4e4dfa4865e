"""Packs: made in a process of their own, one at a time, with what is done told as it is done.

Conventions: the pack of NAME is the folder `NAME-pack` beside the tune. A job is told from its
first message on, however late one asks. The tune's file is saved before it is read.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
import secrets
import signal
from collections import OrderedDict
from collections.abc import AsyncIterator
from dataclasses import dataclass, field
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool

from reedwright.desk.faults import BUSY, DeskError, of_room, problem_json, refused
from reedwright.desk.seal import Seals
from reedwright.errors import Problem, ReedwrightError
from reedwright.pack.choices import Choices
from reedwright.pack.pack import pack

ENDING = "-pack"
MOST_JOBS = 50
"""Jobs remembered, so that a page that comes back reads how its own ended (from memory)."""

MOST_WAITING = 8


@dataclass(slots=True)
class Job:
    """One pack being made; `told` all its messages, the last of them `finished` or `error`."""

    name: str
    told: list[dict[str, Any]] = field(default_factory=list)
    news: asyncio.Event = field(default_factory=asyncio.Event)

    @property
    def over(self) -> bool:
        return bool(self.told) and not self.told[-1].keys().isdisjoint(("finished", "error"))

    def tell(self, message: dict[str, Any]) -> None:
        if self.told and "done" in self.told[-1] and "done" in message:
            self.told[-1] = message  # only the last step matters to who comes late
        else:
            self.told.append(message)
        self.news.set()


class Packing:
    """Used from the event loop only."""

    def __init__(self, folder: Path, seals: Seals) -> None:
        self._folder, self._seals = folder, seals
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._turn = asyncio.Lock()
        self._tasks: set[asyncio.Task[None]] = set()
        self._closing = False

    def folder_of(self, name: str) -> Path:
        return self._folder / f"{name}{ENDING}"

    def begin(self, name: str, path: Path, choices: Choices) -> str:
        """A new job's id; a tune that is being packed, or waits, has its job already."""
        for number, job in self._jobs.items():
            if job.name == name and not job.over:
                return number
        if sum(not job.over for job in self._jobs.values()) >= MOST_WAITING:
            raise refused(BUSY, "many packs wait already", "", "wait for one of them")
        number = secrets.token_hex(8)
        job = self._jobs[number] = Job(name)
        while len(self._jobs) > MOST_JOBS:
            self._jobs.popitem(last=False)
        task = asyncio.create_task(self._run(job, path, choices))
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)
        return number

    def made_here(self, name: str) -> bool:
        """Whether the pack of a tune is one that this user's desk has made."""
        return self._seals.fits(name, self.folder_of(name))

    def job(self, number: str) -> Job | None:
        return self._jobs.get(number)

    async def end(self) -> None:
        """Stop what runs: a pack that was stopped goes on where it was, the next time."""
        self._closing = True
        for task in list(self._tasks):
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)

    async def _run(self, job: Job, path: Path, choices: Choices) -> None:
        try:
            async with self._turn:
                await self._made(job, path, choices)
        except asyncio.CancelledError:
            job.tell(_error(refused(BUSY, "the desk was closed", "", "ask again")))
            raise
        if not job.over:
            job.tell(_error(refused(BUSY, "the packing stopped", "", "ask again; it goes on")))

    async def _made(self, job: Job, path: Path, choices: Choices) -> None:
        context = get_context("spawn")
        mine, other = context.Pipe(duplex=False)
        args = (other, path, self.folder_of(job.name), choices)
        process = context.Process(target=_pack, args=args, daemon=True)
        await run_in_threadpool(process.start)
        other.close()
        try:
            while not job.over:
                message = await run_in_threadpool(_received, mine)
                if message is None:
                    if not process.is_alive():
                        return
                    continue
                if "finished" in message and not message["fresh"]:
                    folder = self.folder_of(job.name)
                    await run_in_threadpool(self._seals.seal, job.name, folder)
                job.tell(message)
        finally:
            process.kill()
            mine.close()


async def stream(job: Job) -> AsyncIterator[bytes]:
    """A job's messages as server-sent events, to its end."""
    seen: dict[str, Any] | None = None
    while True:
        job.news.clear()
        for message in job.told[-2:]:
            if message is not seen:
                yield f"data: {json.dumps(message, ensure_ascii=False)}\n\n".encode()
        seen = job.told[-1] if job.told else None
        if job.over:
            return
        with contextlib.suppress(TimeoutError):
            async with asyncio.timeout(15):
                await job.news.wait()
                continue
        yield b": still at work\n\n"


def _received(pipe: Connection) -> dict[str, Any] | None:
    """The next message; None after a while without one, or at the end."""
    try:
        if not pipe.poll(0.5):
            return None
        message: dict[str, Any] = pipe.recv()
    except (EOFError, OSError):
        return None
    return message


def _pack(pipe: Connection, path: Path, folder: Path, choices: Choices) -> None:
    """The process's whole life."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)

    def tell(done: int, total: int, name: str) -> None:
        pipe.send({"done": done, "total": total, "name": name})

    with contextlib.suppress(BrokenPipeError, OSError):
        pipe.send(_packed(path, folder, choices, tell))


def _packed(path: Path, folder: Path, choices: Choices, tell: Any) -> dict[str, Any]:  # noqa: ANN401 - pack's Tell
    try:
        packed = pack(path, folder, choices, tell)
    except BrokenPipeError:
        raise
    except ReedwrightError as error:
        return _error(of_room(error))
    except Exception as error:  # noqa: BLE001 - told, never a silent end
        said = f"a fault of the desk: {type(error).__name__}: {error}"[:300]
        return _error(DeskError(500, Problem(said, "", "report it with the tune")))
    if packed.refused:
        return _error(refused(422, "the tune has errors", "", "mend what the findings say"))
    return {
        "finished": True,
        "files": list(packed.files),
        "folder": str(folder),
        "fresh": packed.moved is None,
        "remarks": list(packed.remarks),
    }


def _error(error: DeskError) -> dict[str, Any]:
    return {"error": problem_json(error.problem)}
