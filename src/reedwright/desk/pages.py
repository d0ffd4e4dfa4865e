"""The pages and what they load: files of this package, read once.

Conventions: a page is never kept by a browser; what it loads is kept, and asked for again with its
ETag (the first 16 hex digits of its SHA-256). Only files that are listed at the start are served,
so no path of a request ever reaches the disk.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from importlib.resources import files

from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response

_KINDS = {
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".svg": "image/svg+xml",
    ".html": "text/html; charset=utf-8",
}


@dataclass(frozen=True, slots=True)
class Sent:
    """A file as it is sent."""

    data: bytes
    kind: str
    tag: str


def all_files() -> dict[str, Sent]:
    """Every file of `web/`, by name."""
    found: dict[str, Sent] = {}
    for file in files("reedwright.desk").joinpath("web").iterdir():
        ending = "." + file.name.rpartition(".")[2]
        if ending in _KINDS and file.is_file():
            data = file.read_bytes()
            tag = '"' + hashlib.sha256(data).hexdigest()[:16] + '"'
            found[file.name] = Sent(data, _KINDS[ending], tag)
    return found


class Pages:
    """Serves pages and files."""

    def __init__(self) -> None:
        self._files = all_files()

    def page(self, name: str) -> Response:
        """A page by its name without ending."""
        sent = self._files[f"{name}.html"]
        return Response(sent.data, 200, {"Cache-Control": "no-store"}, sent.kind)

    def file(self, request: Request) -> Response:
        """A file that a page loads."""
        sent = self._files.get(request.path_params["file"])
        if sent is None or sent.kind.startswith("text/html"):
            return PlainTextResponse("There is no such file.", 404)
        headers = {"ETag": sent.tag, "Cache-Control": "no-cache"}
        if request.headers.get("if-none-match") == sent.tag:
            return Response(None, 304, headers)
        return Response(sent.data, 200, headers, sent.kind)
