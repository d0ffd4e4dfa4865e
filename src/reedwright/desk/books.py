"""All tunes of the shelf that are open, each kept by its `Book`; the watch over their files.

Conventions: a book opens at the first request for its tune. What is not saved is saved `SAVE_S`
after the last edit, or `LATE_S` after the first (rarely, so that few keys meet a save), and again
`AGAIN_S` after the disk refused; files are looked at every `WATCH_S`. Blocking work
runs in threads, so that the event loop answers on.
"""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from typing import TypeVar

from starlette.concurrency import run_in_threadpool

from reedwright.desk.book import SUFFIX, Book, Edit, State
from reedwright.desk.faults import DeskError
from reedwright.desk.hub import Hub
from reedwright.desk.journal import Journal
from reedwright.desk.shelf import Shelf, Stamp, checked_name
from reedwright.errors import ReedwrightError

SAVE_S = 0.25
LATE_S = 3.0
AGAIN_S = 1.0
WATCH_S = 0.7
MOST_OPEN = 200
"""Books held open; of more, the ones longest unused are closed. All from memory."""

T = TypeVar("T")


class Books:
    """Used from the event loop only; a `Book` itself locks."""

    def __init__(self, shelf: Shelf, hub: Hub) -> None:
        self.shelf, self._hub = shelf, hub
        self._open: dict[str, Book] = {}
        self._opening: dict[str, asyncio.Lock] = {}
        self._due: dict[str, tuple[float, float]] = {}  # first and last edit not saved
        self._stamps: dict[str, Stamp] | None = None
        self._tasks: set[asyncio.Task[None]] = set()

    async def recover(self) -> None:
        """Bring every file up to the edits that were acknowledged before a sudden end."""
        for name in await run_in_threadpool(self._unsettled):
            try:
                book = await self.book(name)
                await run_in_threadpool(book.save, time.time())
            except ReedwrightError:
                continue  # told when the tune is opened
            finally:
                self._drop_quiet(name)

    def _unsettled(self) -> list[str]:
        paths = sorted(self.shelf.own.glob(f"*{SUFFIX}"))
        return [path.name.removesuffix(SUFFIX) for path in paths if not Journal(path).settled()]

    async def book(self, name: str) -> Book:
        """The book of a tune. Errors: DeskError, TuneError, FileError."""
        checked_name(name)
        book = self._open.pop(name, None)
        if book is None:
            async with self._opening.setdefault(name, asyncio.Lock()):
                book = self._open.pop(name, None)
                if book is None:
                    book = Book(self.shelf, name)
                    await run_in_threadpool(book.open, time.time())
                    self._told_lost(book)
            self._opening.pop(name, None)
        self._open[name] = book  # the one used last stands last
        while len(self._open) > MOST_OPEN:
            if not self._drop_quiet(next(iter(self._open))):
                break
        return book

    async def edit(self, name: str, edit: Edit) -> State:
        """Take an edit; the other windows are told."""
        book = await self.book(name)
        before = book.state().version
        state = await run_in_threadpool(book.edit, edit, time.time())
        if state.version != before:
            self._changed(book, edit.window)
        return state

    async def restore(self, name: str, version: int) -> State:
        book = await self.book(name)
        state = await run_in_threadpool(book.restore, version, time.time())
        self._changed(book, "")
        return state

    async def flush(self, name: str) -> None:
        """Save one tune now, for a reader of its file."""
        book = await self.book(name)
        self._due.pop(name, None)
        await run_in_threadpool(book.save, time.time())

    def _changed(self, book: Book, window: str) -> None:
        now_s = time.monotonic()
        self._due[book.name] = (self._due.get(book.name, (now_s, now_s))[0], now_s)
        self._hub.changed(book.name, book.state().version, window)

    def _told_lost(self, book: Book) -> None:
        if book.lost:
            self._hub.changed(book.name, book.state().version, conflict=book.lost)
            book.lost = 0

    def _drop_quiet(self, name: str) -> bool:
        """Close a book if all of it is saved."""
        book = self._open.get(name)
        if book is None or book.unsaved:
            return False
        del self._open[name]
        book.close()
        return True

    def begin(self) -> None:
        """Start saving and watching."""
        for work in (self._saving, self._watching):
            task = asyncio.create_task(work())
            self._tasks.add(task)

    async def end(self) -> None:
        """Stop, and save all."""
        for task in self._tasks:
            task.cancel()
        for book in list(self._open.values()):
            await _quietly(lambda book=book: book.save(time.time()))  # type: ignore[misc]
            book.close()

    async def _saving(self) -> None:
        while True:
            await asyncio.sleep(SAVE_S / 2)
            now_s = time.monotonic()
            for name, (first_s, last_s) in list(self._due.items()):
                if now_s - last_s < SAVE_S and now_s - first_s < LATE_S:
                    continue
                self._due.pop(name, None)
                book = self._open.get(name)
                if book is not None:
                    await self._save(book)

    async def _save(self, book: Book) -> None:
        before = book.state().version
        saved = await _quietly(lambda: book.save(time.time()))
        if not saved:  # a full disk, a file that is no text now: again in a while
            later_s = time.monotonic() + AGAIN_S
            self._due.setdefault(book.name, (later_s, later_s))
        if book.state().version != before:
            self._hub.changed(book.name, book.state().version)
        self._told_lost(book)

    async def _watching(self) -> None:
        while True:
            await asyncio.sleep(WATCH_S)
            await self._watch()

    async def _watch(self) -> None:
        """One look at all files: open tunes take in what changed, the shelf's page is told."""
        try:
            found = await run_in_threadpool(lambda: dict(self.shelf.stamps()))
        except ReedwrightError:
            return  # the folder is away: told at the next request
        old, self._stamps = self._stamps, found
        if old is None:
            return
        for name in [name for name in {*old, *found} if old.get(name) != found.get(name)]:
            book = self._open.get(name)
            if book is None:
                self._hub.changed(name, 0)
                continue
            before = book.state()
            await _quietly(lambda book=book: book.look(time.time()))  # type: ignore[misc]
            after = book.state()
            if after.version != before.version or after.gone != before.gone:
                self._hub.changed(name, after.version, gone=after.gone)
            self._told_lost(book)


async def _quietly(work: Callable[[], T]) -> bool:
    """Whether some work of a thread was done; what went wrong is told at the next request."""
    try:
        await run_in_threadpool(work)
    except (ReedwrightError, DeskError):
        return False
    return True
