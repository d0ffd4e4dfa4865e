"""Processes beside the server that keep what is slow to load: one engraves, one makes sound.

A worker takes one job at a time, in order. A job with a `place` (one tune's music, say) makes those
of the same place that still wait stale: nobody wants the picture of an older text. A worker that
dies or hangs is replaced and its job refused. Workers end with the server, however that ends: their
end of the pipe closes.

Conventions: jobs and answers are our own values, pickled between our own processes; what a user
uploads never goes this way (see `limited`).
"""

from __future__ import annotations

import asyncio
import contextlib
import os
import signal
from collections import deque
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

from reedwright.desk.faults import BUSY, GONE, DeskError, refused
from reedwright.errors import Problem, ReedwrightError

Work = Callable[..., Any]

NICE = 3
"""Steps of niceness (POSIX); from memory, enough that findings come before the picture."""

MOST_WAITING = 64
"""Jobs that may wait for one worker; from memory: fifty windows, each with one."""


@dataclass(slots=True)
class _Job:
    work: Work
    args: tuple[Any, ...]
    place: str
    answer: asyncio.Future[Any]


class Worker:
    """One process. Used from the event loop only. `limit_s`: how long a job may take."""

    def __init__(self, prepare: Work, limit_s: float) -> None:
        self._prepare, self._limit_s = prepare, limit_s
        self._jobs: deque[_Job] = deque()
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None
        self._threads = ThreadPoolExecutor(1)
        self._running: asyncio.Task[None] | None = None
        self._closing = False

    async def do(self, work: Work, *args: Any, place: str = "") -> Any:  # noqa: ANN401 - the work's own
        """The answer of a piece of work. Errors: the work's own; DeskError 410 for a stale job, 503
        for a worker that failed."""
        if place:
            self._drop(place)
        if len(self._jobs) >= MOST_WAITING:
            raise refused(BUSY, "too much is asked for at once", "", "wait a moment")
        job = _Job(work, args, place, asyncio.get_running_loop().create_future())
        self._jobs.append(job)
        self.begin()
        return await job.answer

    def begin(self) -> None:
        """Start the process, or go on with what waits."""
        if self._running is None or self._running.done():
            self._running = asyncio.create_task(self._run())

    async def end(self) -> None:
        """Stop what it does, and the process; jobs that wait are refused."""
        self._closing = True
        if self._process is not None:
            self._process.kill()
        await asyncio.get_running_loop().run_in_executor(self._threads, self._stop)
        self._threads.shutdown(wait=False)
        while self._jobs:
            _refuse(self._jobs.popleft(), BUSY, "the desk was closed")

    def _drop(self, place: str) -> None:
        for job in [job for job in self._jobs if job.place == place]:
            self._jobs.remove(job)
            _refuse(job, GONE, "a newer text was asked for")

    async def _run(self) -> None:
        loop = asyncio.get_running_loop()
        if self._process is None:
            await loop.run_in_executor(self._threads, self._start)
        while self._jobs:
            job = self._jobs.popleft()
            if job.answer.done():  # nobody waits any more
                continue
            try:
                answer = await loop.run_in_executor(self._threads, self._ask, job.work, job.args)
            except ReedwrightError as error:
                if not job.answer.done():
                    job.answer.set_exception(error)
            else:
                if not job.answer.done():
                    job.answer.set_result(answer)

    def _start(self) -> None:
        if self._closing:
            return
        context = get_context("spawn")
        self._pipe, other = context.Pipe()
        process = context.Process(target=_serve, args=(other, self._prepare), daemon=True)
        process.start()
        other.close()
        self._process = process

    def _ask(self, work: Work, args: tuple[Any, ...]) -> Any:  # noqa: ANN401
        if self._process is None or not self._process.is_alive():
            self._stop()
            self._start()
        try:
            if self._pipe is None:
                raise EOFError  # the desk is being closed
            self._pipe.send((work, args))
            if not self._pipe.poll(self._limit_s):
                raise TimeoutError
            fine, answer = self._pipe.recv()
        except (OSError, EOFError, TimeoutError):
            self._stop()
            raise DeskError(
                BUSY, Problem("the work was not finished", "", "ask again; a new worker does it")
            ) from None
        if not fine:
            raise answer
        return answer

    def _stop(self) -> None:
        if self._pipe is not None:
            self._pipe.close()
        if self._process is not None:
            self._process.kill()
            self._process.join(5)
        self._pipe = self._process = None


def _refuse(job: _Job, status: int, found: str) -> None:
    if not job.answer.done():
        job.answer.set_exception(refused(status, found, "", "ask for the newest"))


def _serve(pipe: Connection, prepare: Work) -> None:
    """The life of a worker: prepare, then answer until the pipe closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the server's to answer
    with contextlib.suppress(OSError):
        os.nice(NICE)  # who types comes first
    with contextlib.suppress(EOFError, OSError):
        prepare()
        while True:
            work, args = pipe.recv()
            pipe.send(_answer(work, args))


def _answer(work: Work, args: tuple[Any, ...]) -> tuple[bool, Any]:
    try:
        return True, work(*args)
    except DeskError as error:
        return False, error
    except ReedwrightError as error:
        from reedwright.desk.faults import of_room

        return False, of_room(error)
    except Exception as error:  # noqa: BLE001 - a fault of ours must not end the worker
        said = f"a fault of the desk: {type(error).__name__}: {error}"[:300]
        return False, DeskError(BUSY, Problem(said, "", "report it with the tune"))
