"""What windows are told: gathered, in order, once; and no browser runs out of connections."""

import asyncio
import json
from collections.abc import AsyncIterator

import pytest

from reedwright.desk import hub as hub_module
from reedwright.desk.hub import MOST_HELD, Hub


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(hub_module, "GATHER_S", 0.02)
    monkeypatch.setattr(hub_module, "HOLD_S", 1.0)


async def _told(stream: AsyncIterator[bytes], count: int) -> list[dict]:
    found = []
    async for part in stream:
        lines = [line for line in part.decode().splitlines() if line.startswith("data: ")]
        found += [json.loads(line[6:])["changed"] for line in lines]
        if len(found) >= count:
            break
    return found


def test_many_edits_are_told_as_one() -> None:
    async def run() -> list[dict]:
        hub = Hub()
        reading = asyncio.create_task(_told(hub.stream(None), 1))
        await asyncio.sleep(0.01)
        for version in range(1, 20):
            hub.changed("a", version, "w")
        return await reading

    assert asyncio.run(run()) == [{"name": "a", "version": 19, "window": "w"}]


def test_edits_of_two_windows_are_nobodys_own() -> None:
    async def run() -> list[dict]:
        hub = Hub()
        reading = asyncio.create_task(_told(hub.stream(None), 1))
        await asyncio.sleep(0.01)
        hub.changed("a", 1, "w")
        hub.changed("a", 2, "v")
        return await reading

    assert asyncio.run(run()) == [{"name": "a", "version": 2}]


def test_who_comes_back_is_told_what_was_missed() -> None:
    async def run() -> list[dict]:
        hub = Hub()
        for version in (1, 2):
            hub.changed("a", version)
            await asyncio.sleep(0.05)
        return await _told(hub.stream(1), 1)

    assert asyncio.run(run()) == [{"name": "a", "version": 2}]


def test_a_desk_begun_anew_does_not_confuse_who_comes_back() -> None:
    async def run() -> list[bytes]:
        return [part async for part in Hub().stream(900)]

    first = asyncio.run(run())[0]
    assert first == b"retry: 1000\nid: 0\n\n"


def test_only_so_many_streams_are_held() -> None:
    async def run() -> tuple[int, int]:
        hub = Hub()
        held = [asyncio.create_task(_told(hub.stream(None), 9)) for _ in range(MOST_HELD + 5)]
        await asyncio.sleep(0.1)
        over = sum(task.done() for task in held)
        await hub.close()
        await asyncio.gather(*held)
        return over, len(held)

    assert asyncio.run(run()) == (5, MOST_HELD + 5)


def test_a_stream_ends_by_itself_and_frees_its_place(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(hub_module, "HOLD_S", 0.05)

    async def run() -> int:
        hub = Hub()
        for _ in range(3):
            await asyncio.gather(*(_told(hub.stream(None), 1) for _ in range(MOST_HELD)))
        return hub._held

    assert asyncio.run(run()) == 0
