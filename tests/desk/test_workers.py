"""Workers: in order, stale jobs dropped, replaced when they die or hang, gone with the desk."""

from __future__ import annotations

import asyncio
import os
import time
from collections.abc import Awaitable, Callable
from typing import Any

import pytest

pytest.importorskip("starlette", reason="the desk's server needs starlette")

from reedwright.desk.faults import BUSY, GONE, DeskError
from reedwright.desk.workers import Worker
from reedwright.errors import HarpError, Problem


def ready() -> None:
    """Nothing to load."""


def double(number: int) -> int:
    return 2 * number


def slowly(seconds: float, word: str) -> str:
    time.sleep(seconds)
    return word


def die() -> None:
    os._exit(3)


def refuse() -> None:
    raise HarpError(Problem("no such harp", "the rule", "the mend"))


def stumble() -> None:
    raise KeyError("ours")


def pid() -> int:
    return os.getpid()


def run(work: Callable[[Worker], Awaitable[Any]], limit_s: float = 20.0) -> Any:  # noqa: ANN401
    async def whole() -> Any:  # noqa: ANN401
        worker = Worker(ready, limit_s)
        try:
            return await work(worker)
        finally:
            await worker.end()

    return asyncio.run(whole())


def test_jobs_are_done_in_order_by_one_process() -> None:
    async def work(worker: Worker) -> list[Any]:
        return await asyncio.gather(*(worker.do(double, n) for n in range(5)), worker.do(pid))

    *numbers, other = run(work)
    assert numbers == [0, 2, 4, 6, 8]
    assert other != os.getpid()


def test_a_newer_job_of_a_place_makes_older_ones_stale() -> None:
    async def work(worker: Worker) -> list[Any]:
        first = asyncio.create_task(worker.do(slowly, 0.5, "first", place="a"))
        await asyncio.sleep(0.2)
        others = [asyncio.create_task(worker.do(slowly, 0, w, place="a")) for w in ("b", "c", "d")]
        else_ = asyncio.create_task(worker.do(slowly, 0, "elsewhere", place="z"))
        return await asyncio.gather(first, *others, else_, return_exceptions=True)

    first, b, c, d, elsewhere = run(work)
    assert (first, d, elsewhere) == ("first", "d", "elsewhere")
    assert [error.status for error in (b, c)] == [GONE, GONE]


def test_a_worker_that_dies_is_replaced() -> None:
    async def work(worker: Worker) -> tuple[int, int, int]:
        first = await worker.do(pid)
        with pytest.raises(DeskError) as died:
            await worker.do(die)
        return first, await worker.do(pid), died.value.status

    first, second, status = run(work)
    assert first != second
    assert status == BUSY


def test_a_worker_that_hangs_is_replaced() -> None:
    async def work(worker: Worker) -> int:
        await worker.do(double, 1)
        with pytest.raises(DeskError, match="not finished"):
            await worker.do(slowly, 60, "never")
        return int(await worker.do(double, 4))

    assert run(work, limit_s=1.5) == 8


def test_errors_of_the_work_come_back_whole() -> None:
    async def work(worker: Worker) -> DeskError:
        with pytest.raises(DeskError) as refused:
            await worker.do(refuse)
        return refused.value

    error = run(work)
    assert (error.status, error.problem) == (422, Problem("no such harp", "the rule", "the mend"))


def test_a_fault_of_ours_is_told_and_ends_nothing() -> None:
    async def work(worker: Worker) -> tuple[int, int]:
        first = await worker.do(pid)
        with pytest.raises(DeskError, match="a fault of the desk: KeyError"):
            await worker.do(stumble)
        return first, await worker.do(pid)

    first, second = run(work)
    assert first == second


def test_an_end_comes_at_once_and_refuses_what_waits() -> None:
    async def work(worker: Worker) -> list[Any]:
        await worker.do(double, 1)
        tasks = [asyncio.create_task(worker.do(slowly, 30, "x")) for _ in range(3)]
        await asyncio.sleep(0.2)
        began_s = time.monotonic()
        await worker.end()
        found = await asyncio.gather(*tasks, return_exceptions=True)
        return [time.monotonic() - began_s, *found]

    spent_s, *found = asyncio.run(_without_end(work))
    assert spent_s < 5
    assert all(isinstance(each, DeskError) and each.status == BUSY for each in found)


async def _without_end(work: Callable[[Worker], Awaitable[Any]]) -> Any:  # noqa: ANN401
    return await work(Worker(ready, 40.0))


def test_an_end_while_it_begins_is_an_end() -> None:
    async def work() -> None:
        worker = Worker(ready, 20.0)
        worker.begin()
        await asyncio.sleep(0.01)
        await worker.end()

    asyncio.run(work())
