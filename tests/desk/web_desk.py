"""A running desk and a browser for the tests of its screens.

The browser is Debian's Chromium driven by Playwright; where either is absent the tests are skipped
and say so.
"""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

CHROMIUM = Path("/usr/bin/chromium")
DEMO = Path(__file__).parents[2] / "demo"
AXE = Path(__file__).parents[2] / "tools" / "web" / "node_modules" / "axe-core" / "axe.min.js"
WAIT_MS = 20_000
"""Milliseconds a screen may take on a busy machine before a test gives up; from memory."""


def needed() -> None:
    """Skips where there is no browser or no server to drive."""
    pytest.importorskip("playwright", reason="playwright is not installed")
    pytest.importorskip("starlette", reason="the desk's server needs starlette")
    pytest.importorskip("uvicorn", reason="the desk's server needs uvicorn")
    if not CHROMIUM.exists():
        pytest.skip("there is no Chromium at /usr/bin/chromium")


@contextmanager
def desk(folder: Path, cache: Path, port: int = 0) -> Iterator[str]:
    """The address of a desk over a folder, token included; stopped at the end."""
    command = [sys.executable, "-m", "reedwright", "desk", str(folder)]
    command += ["--port", str(port), "--no-browser"]
    environment = {**os.environ, "REEDWRIGHT_CACHE": str(cache), "PYTHONUNBUFFERED": "1"}
    server = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment)
    try:
        yield _address(server)
    finally:
        if server.poll() is None:
            server.send_signal(signal.SIGTERM)
        server.wait(30)
        if server.stdout is not None:
            server.stdout.close()


def _address(server: subprocess.Popen[str]) -> str:
    assert server.stdout is not None
    for line in server.stdout:
        found = re.search(r"http://\S+", line)
        if found:
            return found.group()
    raise AssertionError("the desk printed no address")


@contextmanager
def browser() -> Iterator[Browser]:
    """Chromium without a window; sound may begin without a gesture of a person."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(
            executable_path=str(CHROMIUM),
            args=["--no-sandbox", "--autoplay-policy=no-user-gesture-required"],
        )
        try:
            yield chromium
        finally:
            chromium.close()


def watched(page: Page, troubles: list[str]) -> None:
    """Notes what goes wrong on a page: errors of its modules, and what its policy refused."""
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.on(
        "console",
        lambda message: (
            troubles.append(message.text)
            if message.type == "error" and "Security Policy" in message.text
            else None
        ),
    )
    page.set_default_timeout(WAIT_MS)


def kept(page: Page) -> None:
    """Waits until everything typed is on disk and looked at."""
    page.wait_for_function("() => document.getElementById('kept').textContent === 'Kept'")


def caret_before(page: Page, words: str, after: int = 0) -> None:
    """Puts the caret before some words of the text, or some letters on."""
    page.eval_on_selector(
        "#text",
        """(area, [words, after]) => { const at = area.value.indexOf(words) + after;
        area.focus(); area.setSelectionRange(at, at); }""",
        [words, after],
    )


def text_of(page: Page) -> str:
    return page.input_value("#text")
