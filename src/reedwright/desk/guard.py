"""Who may ask, and how much: the outermost layer of the desk's server.

Only requests with the desk's own cookie are answered; the address printed in the terminal carries a
token, once, and gives the cookie. The Host must be this machine's own name, so that no other site
can be pointed here (DNS rebinding); the Origin must be the desk's own on everything that changes
(cross-site requests). Bodies are bounded. Every answer carries the policy below: no script, style,
picture or request from elsewhere. Source: Content Security Policy Level 3 (W3C), Fetch (WHATWG),
RFC 6265bis (cookies).
"""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from reedwright.desk.faults import BAD, BIG, FORBIDDEN, DeskError, problem_json, refused

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "media-src 'self' blob:",
        "connect-src 'self'",
        "worker-src 'self' blob:",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
MAX_BODY = 32_000_000
"""Bytes: a tune of four million, each written as a \\u escape, and a little (RFC 8259)."""

_SAFE = frozenset({"GET", "HEAD"})
_WAY_IN = "Open the desk by the address that stands in its terminal."


def new_token() -> str:
    """A token nobody guesses: 256 bits (OWASP asks for at least 128)."""
    return secrets.token_urlsafe(32)


@dataclass(frozen=True, slots=True)
class Door:
    """The desk's own port and token."""

    port: int
    token: str

    @property
    def cookie(self) -> str:
        """A cookie is of a host, whatever its port; so its name tells desks apart."""
        return f"reedwright-{self.port}"

    @property
    def hosts(self) -> tuple[str, ...]:
        return (f"127.0.0.1:{self.port}", f"localhost:{self.port}")

    def fits(self, token: str) -> bool:
        return hmac.compare_digest(token.encode("utf-8", "replace"), self.token.encode())


class Guard:
    """ASGI middleware around the whole desk."""

    def __init__(self, app: ASGIApp, door: Door) -> None:
        self._app, self._door = app, door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._app(scope, receive, send)
            return
        answer = self._answer(scope)
        if answer is None:
            limited = _Limited(receive, MAX_BODY)
            await self._app(scope, limited, _with_headers(send))
        else:
            await answer(scope, receive, _with_headers(send))

    def _answer(self, scope: Scope) -> Response | None:
        """What to answer instead; None for a request that may go in."""
        headers = Headers(scope=scope)
        try:
            self._check_place(scope, headers)
            token = _token_of(scope)
            if token and self._door.fits(token) and scope["method"] == "GET":
                return self._let_in(scope)
            if not self._door.fits(Request(scope).cookies.get(self._door.cookie, "")):
                raise refused(FORBIDDEN, "this desk does not know you", "", _WAY_IN)
        except DeskError as error:
            return _refusal(scope["path"], error)
        return None

    def _check_place(self, scope: Scope, headers: Mapping[str, str]) -> None:
        host = headers.get("host", "")
        if host not in self._door.hosts:
            raise refused(FORBIDDEN, "another host's name", "", _WAY_IN)
        if scope["method"] not in _SAFE and headers.get("origin", "") != f"http://{host}":
            raise refused(FORBIDDEN, "a request from another page", "", _WAY_IN)
        length = headers.get("content-length", "0")
        if not (length.isascii() and length.isdigit()):
            raise refused(BAD, "no length", "", "send a number")
        if len(length) > 12 or int(length) > MAX_BODY:
            raise too_big()

    def _let_in(self, scope: Scope) -> Response:
        """The cookie, and the same page without the token."""
        path = scope["path"] if scope["path"].startswith("/") else "/"
        answer = RedirectResponse("/" + path.lstrip("/\\"), status_code=303)
        answer.set_cookie(
            self._door.cookie, self._door.token, httponly=True, samesite="strict", path="/"
        )
        answer.headers["Cache-Control"] = "no-store"
        return answer


def too_big() -> DeskError:
    """More than the desk takes."""
    return refused(BIG, f"more than {MAX_BODY:,} bytes", "", "send less")


class _Limited:
    """Receives a body and stops at its limit, whatever its header said."""

    def __init__(self, receive: Receive, most: int) -> None:
        self._receive, self._left = receive, most

    async def __call__(self) -> Message:
        message = await self._receive()
        if message["type"] == "http.request":
            self._left -= len(message.get("body", b""))
            if self._left < 0:
                raise too_big()
        return message


def _token_of(scope: Scope) -> str:
    query = str(scope.get("query_string", b""), "latin-1")
    return parse_qs(query).get("token", [""])[0]


def _refusal(path: str, error: DeskError) -> Response:
    if path.startswith("/api/"):
        told = {"error": problem_json(error.problem)}
        return JSONResponse(told, error.status, {"Cache-Control": "no-store"})
    return PlainTextResponse(str(error), error.status, {"Cache-Control": "no-store"})


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sending
