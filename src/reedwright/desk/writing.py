"""The doors for writing: the shelf, a tune's text, its look and its history."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Mapping
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from reedwright.desk.answers import MAX_WINDOW, Fields, Query, body_of, told, told_bytes
from reedwright.desk.book import MAX_VERSION, Edit
from reedwright.desk.changes import MOST_CHANGES, Change, whole
from reedwright.desk.desk import Desk
from reedwright.desk.faults import CONFLICT, refused
from reedwright.desk.operations import JSON, TEXT, VERSION, Door, number, record
from reedwright.desk.rows import Rows
from reedwright.desk.shelf import bytes_of, checked_name
from reedwright.desk.starting import starting
from reedwright.desk.thin import history
from reedwright.harp.pitch import shown
from reedwright.tune.load import MAX_BYTES

_CHANGE = record(
    ("from", "to", "insert"),
    **{"from": number(0, MAX_BYTES), "to": number(0, MAX_BYTES), "insert": TEXT},
)
_EDIT = record(
    ("version",),
    version=VERSION,
    text=TEXT,
    changes={"type": "array", "items": _CHANGE},
    window={"type": "string", "maxLength": MAX_WINDOW},
    caret={"type": "integer"},
)
_NEW = record(
    name={"type": "string", "maxLength": 200},
    text=TEXT,
    title={"type": "string", "maxLength": 200},
)


class Writing:
    """Answers of these doors over one desk."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._rows = Rows(desk)
        self._making = asyncio.Lock()

    def doors(self) -> list[Door]:
        one = "/api/tunes/{name}"
        version = {"version": VERSION}
        return [
            Door("GET", "/api/tunes", "the tunes of the shelf", self.shelf),
            Door("POST", "/api/tunes", "begin a tune", self.new, body=_NEW),
            Door("GET", one, "a tune's text, now or at a version", self.text, version),
            Door("POST", f"{one}/edit", "change a tune", self.edit, body=_EDIT),
            Door("GET", f"{one}/look", "findings and views", self.look, version),
            Door("GET", f"{one}/history", "the states kept", self.history),
            Door(
                *("POST", f"{one}/restore", "make an earlier version the newest", self.restore),
                body=record(("version",), version=VERSION),
            ),
        ]

    async def shelf(self, _: Request) -> Response:
        return told(await self._rows.all())

    async def new(self, request: Request) -> Response:
        """A name that is given must be free; without one it is made from the title."""
        fields = Fields(await body_of(request))
        text = whole(fields.text("text", MAX_BYTES, ""))
        title = fields.text("title", 200, "")
        name = fields.text("name", 200, "")
        async with self._making:
            made = await run_in_threadpool(self._made, name, title, text)
        state = (await self._desk.books.book(made)).state()
        self._desk.hub.changed(made, state.version)
        return told({"name": made})

    def _made(self, name: str, title: str, text: str) -> str:
        shelf = self._desk.shelf
        begun = starting(title, text)
        if name:
            checked_name(name)
            if shelf.stamp(name) is not None:
                rule, mend = "A new tune never replaces one", "choose another name"
                raise refused(CONFLICT, f"there is a tune {shown(name)}", rule, mend)
        else:
            name = shelf.free_name(begun.title)
        shelf.write(name, bytes_of(begun.text))
        return name

    async def text(self, request: Request) -> Response:
        name = request.path_params["name"]
        version = Query(request).number("version", 0, MAX_VERSION - 1)
        book = await self._desk.books.book(name)
        await run_in_threadpool(book.look, time.time())
        state = book.state()
        if version is not None and version != state.version:
            text = await run_in_threadpool(book.text_at, version)
            return told({"text": text, "version": version, "newest": state.version})
        self._desk.look_at(name, state)  # it will be asked for next
        self._desk.warm()
        return told(
            {
                "text": state.text,
                "version": state.version,
                "saved_version": state.saved,
                "history_count": state.count,
                "gone": state.gone,
            }
        )

    async def edit(self, request: Request) -> Response:
        name = request.path_params["name"]
        edit = _edit_of(Fields(await body_of(request)))
        state = await self._desk.books.edit(name, edit)
        self._desk.look_at(name, state)
        return told({"version": state.version, "kept": True})

    async def look(self, request: Request) -> Response:
        version = Query(request).number("version", 0, MAX_VERSION - 1)
        _, data = await self._desk.look(request.path_params["name"], version)
        return told_bytes(data, JSON)

    async def history(self, request: Request) -> Response:
        book = await self._desk.books.book(request.path_params["name"])
        return told(await run_in_threadpool(lambda: history(book.records())))

    async def restore(self, request: Request) -> Response:
        fields = Fields(await body_of(request))
        version = fields.number("version", 0, MAX_VERSION - 1)
        state = await self._desk.books.restore(request.path_params["name"], version)
        return told({"version": state.version, "text": state.text})


def _edit_of(fields: Fields) -> Edit:
    version = fields.number("version", 0, MAX_VERSION - 1)
    window = fields.text("window", MAX_WINDOW, "")
    if fields.has("text"):
        return Edit(version, fields.text("text", MAX_BYTES), window=window)
    return Edit(version, None, tuple(map(_change, fields.rows("changes", MOST_CHANGES))), window)


def _change(row: Mapping[str, Any]) -> Change:
    fields = Fields(row)
    most = 2 * MAX_BYTES
    insert = fields.text("insert", MAX_BYTES)
    return Change(fields.number("from", 0, most), fields.number("to", 0, most), insert)
