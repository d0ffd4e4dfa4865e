"""The server as one ASGI application: pages, doors, and the guard around them."""

from __future__ import annotations

import contextlib
from collections.abc import AsyncIterator
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.types import ASGIApp

from reedwright.desk.answers import NO_STORE, Query, told, told_error
from reedwright.desk.desk import Desk
from reedwright.desk.faults import of_room, refused
from reedwright.desk.fitting import Fitting
from reedwright.desk.guard import Door as Way
from reedwright.desk.guard import Guard
from reedwright.desk.openapi import description
from reedwright.desk.operations import Door
from reedwright.desk.pages import Pages
from reedwright.desk.sounding import Sounding
from reedwright.desk.teaching import Teaching
from reedwright.desk.writing import Writing
from reedwright.errors import ReedwrightError


def app_of(folder: Path, way: Way) -> ASGIApp:
    """The whole server over a folder. Errors: FileError."""
    desk = Desk(folder)
    teaching = Teaching(desk)
    doors = [
        *Writing(desk).doors(),
        *Sounding(desk).doors(),
        *teaching.doors(),
        *Fitting(desk).doors(),
        _events(desk),
    ]
    text = description(doors)

    async def openapi(_: Request) -> Response:
        return told(text)

    @contextlib.asynccontextmanager
    async def life(_: Starlette) -> AsyncIterator[None]:
        await desk.begin()
        yield
        await desk.end()

    routes = [Route(door.path, door.handler, methods=[door.method]) for door in doors]
    routes.append(Route("/api/openapi.json", openapi))
    routes.append(Route("/pack/{name}/{path:path}", teaching.packed))
    app = Starlette(
        routes=[*_pages(), *routes],
        lifespan=life,
        exception_handlers={ReedwrightError: _refused, HTTPException: _http},
    )
    return Guard(app, way)


def _pages() -> list[Route]:
    pages = Pages()

    async def shelf(_: Request) -> Response:
        return pages.page("shelf")

    async def tune(_: Request) -> Response:
        return pages.page("tune")

    async def fit(_: Request) -> Response:
        return pages.page("fit")

    async def file(request: Request) -> Response:
        return pages.file(request)

    async def icon(_: Request) -> Response:
        return Response(None, 204)

    return [
        Route("/", shelf),
        Route("/tune/{name}", tune),
        Route("/fit", fit),
        Route("/web/{file}", file),
        Route("/favicon.ico", icon),
    ]


def _events(desk: Desk) -> Door:
    async def events(request: Request) -> Response:
        query = Query(request).number("last", 0, 2**53)
        given = request.headers.get("last-event-id", "")
        seen = int(given) if given.isascii() and given.isdigit() and len(given) < 17 else query
        return StreamingResponse(
            desk.hub.stream(seen), headers=NO_STORE, media_type="text/event-stream"
        )

    summary = "changes by other windows and programs, as server-sent events"
    return Door("GET", "/api/events", summary, events, gives="text/event-stream")


async def _refused(_: Request, error: Exception) -> Response:
    assert isinstance(error, ReedwrightError)  # noqa: S101 - for the type checker; see the table
    return told_error(of_room(error))


async def _http(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    if not request.url.path.startswith("/api/"):
        return PlainTextResponse("There is nothing here. The shelf is at /.", status)
    words = {404: "there is no such door", 405: "not this method"}.get(status, "refused")
    return told_error(refused(status, words, "", "see /api/openapi.json"))
