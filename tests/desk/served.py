"""Desks for tests: one in this process, by its ASGI door; one as a process, to be killed."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("starlette", reason="the desk's server needs starlette")
pytest.importorskip("httpx2", reason="the desk's tests need httpx2")

import httpx2
from starlette.testclient import TestClient

from reedwright.desk.app import app_of
from reedwright.desk.guard import Door

PORT = 4711
BASE = f"http://127.0.0.1:{PORT}"
DOOR = Door(PORT, "t" * 43)
TUNE = "Title: A Tune\nHarp: C\nPosition: second\n\nLick One\n1: 2d 3d' 4d =\n2: 4b&3d 2d . .\n"


@contextmanager
def inside(folder: Path) -> Iterator[TestClient]:
    """A desk in this process, its cookie given."""
    client = TestClient(app_of(folder, DOOR), base_url=BASE, headers={"Origin": BASE})
    with client:
        client.cookies.set(DOOR.cookie, DOOR.token)
        yield client


class Server:
    """A desk as a process."""

    def __init__(self, folder: Path, cache: Path | None = None) -> None:
        self.folder, self._cache = folder, cache or folder / ".cache"
        self._begin()

    def _begin(self) -> None:
        command = [sys.executable, "-m", "reedwright", "desk", str(self.folder)]
        command += ["--port", "0", "--no-browser"]
        environment = {**os.environ, "REEDWRIGHT_CACHE": str(self._cache), "PYTHONUNBUFFERED": "1"}
        self.process = subprocess.Popen(
            command, stdout=subprocess.PIPE, text=True, env=environment, start_new_session=True
        )
        assert self.process.stdout is not None
        address = ""
        for line in self.process.stdout:
            if found := re.search(r"http://\S+", line):
                address = found.group()
                break
        assert address, "the desk printed no address"
        self.base = address.split("/?")[0]
        self.client = httpx2.Client(
            base_url=self.base, headers={"Origin": self.base}, timeout=30, follow_redirects=True
        )
        assert self.client.get(address).status_code == 200

    def kill(self) -> None:
        """As when the power goes; workers end by themselves."""
        self.process.kill()
        self._over()

    def stop(self) -> None:
        self.process.send_signal(signal.SIGTERM)
        self._over()

    def _over(self) -> None:
        self.process.wait(20)
        self.client.close()
        if self.process.stdout is not None:
            self.process.stdout.close()

    def again(self) -> None:
        """The same folder, after an end."""
        self._begin()


@contextmanager
def server(folder: Path) -> Iterator[Server]:
    made = Server(folder)
    try:
        yield made
    finally:
        if made.process.poll() is None:
            made.stop()


def edit(client: Any, name: str, version: int, text: str, window: str = "w") -> Any:  # noqa: ANN401
    """Send a whole text; the response."""
    body = {"version": version, "text": text, "window": window}
    return client.post(f"/api/tunes/{name}/edit", json=body)


def waited(check: Any, seconds: float = 5.0) -> bool:  # noqa: ANN401 - any callable
    """Whether something comes true within a time."""
    ends = time.monotonic() + seconds
    while time.monotonic() < ends:
        with suppress(OSError):
            if check():
                return True
        time.sleep(0.05)
    return False
