"""Chromium with a file as its microphone, over a page of the ear alone.

The file plays from its start when the microphone opens and begins again at its end; how long it
takes to arrive is the delay that a real student would measure.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.page.ear_node import EAR

if TYPE_CHECKING:
    from playwright.sync_api import Page

CHROMIUM = Path("/usr/bin/chromium")
HARNESS = Path(__file__).with_name("ear_harness.html")
KINDS = {".js": "text/javascript", ".css": "text/css"}


def needed() -> None:
    """Skips where there is no browser to drive."""
    pytest.importorskip("playwright", reason="playwright is not installed")
    if not CHROMIUM.exists():
        pytest.skip("there is no Chromium at /usr/bin/chromium")


class _Files(BaseHTTPRequestHandler):
    def __init__(self, lesson: bytes, *rest: Any) -> None:  # noqa: ANN401 - the library's own
        self.lesson = lesson
        super().__init__(*rest)

    def do_GET(self) -> None:
        path = self.path.split("?")[0]
        if path == "/lesson.json":
            self._send(self.lesson, "application/json")
        elif path.startswith("/ear/") and (EAR / path[5:]).is_file():
            self._send((EAR / path[5:]).read_bytes(), KINDS[Path(path).suffix])
        else:
            self._send(HARNESS.read_bytes(), "text/html")

    def _send(self, body: bytes, kind: str) -> None:
        self.send_response(200)
        self.send_header("Content-Type", kind)
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_: object) -> None:
        """Nothing on the terminal."""


@contextmanager
def page_of(
    lesson: dict[str, Any], tempo: int, wav: Path | None, *, granted: bool = True
) -> Iterator[Page]:
    """The ear's page with this recording as its microphone, or with none."""
    from playwright.sync_api import sync_playwright

    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Files, json.dumps(lesson).encode()))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    args = ["--no-sandbox", "--autoplay-policy=no-user-gesture-required"]
    if wav is not None:
        args += [
            "--use-fake-device-for-media-stream",
            f"--use-file-for-fake-audio-capture={wav}",
        ]
    if granted and wav is not None:
        args.append("--use-fake-ui-for-media-stream")
    if not granted:
        args.append("--deny-permission-prompts")
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=args)
            page = browser.new_page(viewport={"width": 1000, "height": 900})
            page.goto(f"http://127.0.0.1:{server.server_port}/?tempo={tempo}")
            page.wait_for_function("window.ready")
            yield page
            browser.close()
    finally:
        server.shutdown()
        server.server_close()
