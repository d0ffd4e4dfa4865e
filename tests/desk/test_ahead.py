"""Looks and pictures made ahead: once for all windows, and never an old one before a new one."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("starlette", reason="the desk's server needs starlette")

from reedwright.desk.book import Edit, State
from reedwright.desk.desk import Desk, Look
from reedwright.desk.faults import GONE, DeskError

TUNE = "Title: T\nHarp: C\nPosition: second\n\nLick One\n1: 2d 3d' 4d =\n"


class Slow(Desk):
    """A desk whose first look at each version waits until it is let go, and which draws nothing."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.drawn: list[int] = []
        self.looks = 0
        self.gates: dict[int, asyncio.Event] = {}
        self.engraver.do = self._draw  # type: ignore[method-assign, assignment]

    async def _draw(self, _: Any, *args: Any, place: str = "") -> str:  # noqa: ANN401
        self.drawn.append(args[2].count("#"))
        return f"{place} drawn"

    def look_at(self, name: str, state: State) -> asyncio.Future[Look]:
        gate = self.gates.get(state.version)
        if gate is None or (name, state.version) in self._looks:
            return super().look_at(name, state)

        async def late() -> Look:
            await gate.wait()
            return self._looked(name, state)

        self._newest[name] = max(state.version, self._newest.get(name, 0))
        look = asyncio.ensure_future(late())
        look.add_done_callback(lambda done: self._draw_ahead(name, done))
        self._looks[name, state.version] = look
        return look

    def _looked(self, name: str, state: State) -> Look:
        self.looks += 1
        return super()._looked(name, state)


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    (tmp_path / "a.reed").write_text(TUNE, encoding="utf-8")
    return tmp_path


def test_many_windows_share_one_look_and_one_picture(shelf: Path) -> None:
    async def run() -> Slow:
        desk = Slow(shelf)
        looks = await asyncio.gather(*(desk.look("a") for _ in range(9)))
        await asyncio.gather(*(desk.staff("a", looks[0][0]) for _ in range(9)))
        await desk.end()
        return desk

    desk = asyncio.run(run())
    assert (desk.looks, len(desk.drawn)) == (1, 1)


def test_a_late_look_at_an_old_text_draws_nothing(shelf: Path) -> None:
    async def run() -> Slow:
        desk = Slow(shelf)
        desk.gates[1] = asyncio.Event()
        first = (await desk.books.book("a")).state()
        old = desk.look_at("a", first)
        state = await desk.books.edit("a", Edit(1, TUNE + "#\n"))
        looked, _ = await desk.look_at("a", state)
        assert await desk.staff("a", looked)
        desk.gates[1].set()
        late, _ = await old
        await asyncio.sleep(0.05)
        with pytest.raises(DeskError) as overtaken:
            await desk.staff("a", late)
        assert overtaken.value.status == GONE
        await desk.end()
        return desk

    assert asyncio.run(run()).drawn == [1]


def test_music_that_is_looked_at_is_drawn_before_it_is_asked_for(shelf: Path) -> None:
    async def run() -> Slow:
        desk = Slow(shelf)
        looked, _ = await desk.look("a")
        await desk.staff("a", looked)
        state = await desk.books.edit("a", Edit(1, TUNE + "##\n"))
        await desk.look_at("a", state)
        await asyncio.sleep(0.05)
        await desk.end()
        return desk

    assert asyncio.run(run()).drawn == [0, 2]
