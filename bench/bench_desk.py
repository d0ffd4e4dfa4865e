"""Speed of the desk, asked over its own socket as a browser asks it; gates as the issue sets them.

A tune of 48 bars (four choruses of twelve) is typed in, ten keys a second, each key an edit that is
kept on the disk, then looked at, then engraved: what the page does. Three of four keys leave a text
that can be read, as when a note is written over another. Percentiles are the 95th. The look and the
picture are asked for one after the other, so "to engraving" is all of the wait.
"""

import re
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import cycle
from pathlib import Path

from bench.bench_check import played
from bench.row import Gate, Row, median_ms
from tests.desk.served import Server, server

KEY_S = 0.1
KEYS = 120
WINDOWS = 50
EDITS = 1_000
NAME = "typed"
_NOTES = ("2d", "3d", "4d", "5d", "6d", "4b", "5b", "6b", "1d", "1b", "2b", "3d'")
_FIRST = re.compile(r"^1: ([0-9][^ &]*)", re.MULTILINE)
_WORDS = ("4d", "4", "4b", "5d")  # the second cannot be read


class Typing:
    """A window that types, and what it waits for."""

    def __init__(self, desk: Server) -> None:
        self._client = desk.client
        told = self._client.get(f"/api/tunes/{NAME}").json()
        self.version, self._text = told["version"], told["text"]
        first = _FIRST.search(self._text)
        if first is None:
            raise RuntimeError("the tune has no bar 1")
        self._at, self._long = first.start(1), len(first[1])
        self.findings_ms: list[float] = []
        self.staff_ms: list[float] = []

    def key(self, word: str, *, look: bool = True) -> None:
        """One key and all that follows."""
        change = {"from": self._at, "to": self._at + self._long, "insert": word}
        self._long = len(word)
        began_s = time.perf_counter()
        body = {"version": self.version, "changes": [change], "window": "typing", "caret": 0}
        answer = self._client.post(f"/api/tunes/{NAME}/edit", json=body)
        self.version = answer.json()["version"]
        if not look:
            return
        at = {"version": self.version}
        seen = self._client.get(f"/api/tunes/{NAME}/look", params=at).json()
        self.findings_ms.append(1e3 * (time.perf_counter() - began_s))
        if seen["ok"]:
            drawn = self._client.get(f"/api/tunes/{NAME}/staff", params=at)
            if drawn.status_code != 200:
                raise RuntimeError(drawn.text)
            self.staff_ms.append(1e3 * (time.perf_counter() - began_s))

    def keys(self, number: int) -> None:
        """So many, at the pace of a quick typist."""
        for _, word in zip(range(number), cycle(_WORDS), strict=False):
            began_s = time.perf_counter()
            self.key(word)
            time.sleep(max(0.0, KEY_S - (time.perf_counter() - began_s)))

    def sound_ms(self, word: str) -> float:
        """From the first note changed to the sound of its bar."""
        began_s = time.perf_counter()
        self.key(word, look=False)
        at = {"version": self.version, "from_bar": 0, "bars": 1}
        heard = self._client.get(f"/api/tunes/{NAME}/sound", params=at)
        if heard.status_code != 200:
            raise RuntimeError(heard.text)
        return 1e3 * (time.perf_counter() - began_s)


def late(found_ms: list[float]) -> float:
    """The 95th percentile: the smallest value that 95 of 100 do not pass."""
    return sorted(found_ms)[-(-95 * len(found_ms) // 100) - 1]


@contextmanager
def windows(desk: Server, number: int) -> Iterator[None]:
    """So many more windows, open and looking on."""
    cookie = next(f"{key}={value}" for key, value in dict(desk.client.cookies).items())
    command = [sys.executable, "-m", "bench.desk_windows", desk.base, cookie, NAME, str(number)]
    process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    if process.stdin is None or process.stdout is None or not process.stdout.readline():
        raise RuntimeError("the windows did not open")
    try:
        yield
    finally:
        process.stdin.close()
        process.wait(30)
        process.stdout.close()


def first_page(desk: Server) -> None:
    """All that a browser asks for to show the shelf and then a tune, nothing kept."""
    for page in ("/", f"/tune/{NAME}"):
        text = desk.client.get(page).text
        names = [part.split('"')[0] for part in text.split('"/web/')[1:]]
        seen: set[str] = set()
        while names:
            name = names.pop()
            if name in seen:
                continue
            seen.add(name)
            body = desk.client.get(f"/web/{name}").text
            names += [part.split('"')[0] for part in body.split('from "./')[1:]]
    desk.client.get("/api/tunes")
    desk.client.get(f"/api/tunes/{NAME}")
    desk.client.get(f"/api/tunes/{NAME}/look")


def memory_mib(desk: Server) -> float:
    """What the server's process holds."""
    status = Path(f"/proc/{desk.process.pid}/status").read_text(encoding="ascii")
    line = next(line for line in status.splitlines() if line.startswith("VmRSS:"))
    return int(line.split()[1]) / 1024


def run() -> list[Row]:
    with tempfile.TemporaryDirectory() as folder:
        shelf = Path(folder) / "shelf"
        shelf.mkdir()
        (shelf / f"{NAME}.reed").write_text(played(4), encoding="utf-8")
        with server(shelf) as desk:
            return _rows(desk)


def _rows(desk: Server) -> list[Row]:
    warm = Typing(desk)
    warm.keys(12)
    warm.sound_ms("6b")  # the workers have begun with the first key; both others are ready then
    desk.client.get(f"/api/tunes/{NAME}/lesson")
    alone = Typing(desk)
    alone.keys(KEYS)
    page_ms = median_ms(lambda: first_page(desk), rounds=7, warm_up=1)
    alone_too = Typing(desk)
    sounds_ms = [alone_too.sound_ms(word) for word in _NOTES]
    among = Typing(desk)
    with windows(desk, WINDOWS - 1):
        among.keys(KEYS)
    grown = _grown(desk)
    edge = Gate.AT_MOST
    return [
        Row("desk: key to findings, 48 bars", late(alone.findings_ms), edge, 50.0),
        Row("desk: key to engraving, 48 bars", late(alone.staff_ms), edge, 150.0),
        Row(f"the same findings, {WINDOWS} windows open", late(among.findings_ms), edge, 100.0),
        Row(f"the same engraving, {WINDOWS} windows open", late(among.staff_ms), edge, 300.0),
        Row("desk: shelf and a tune's page, all files", page_ms, edge, 1000.0),
        Row("desk: a note changed to its sound", late(sounds_ms), edge, 1000.0),
        Row(f"desk: memory after {EDITS:,} more edits", grown, edge, 5.0, unit="MiB"),
    ]


def _grown(desk: Server) -> float:
    """How much more the server holds after many edits than after as many before."""
    typing = Typing(desk)
    for _, word in zip(range(EDITS // 2), cycle(_WORDS), strict=False):
        typing.key(word, look=False)
    typing.keys(20)
    before = memory_mib(desk)
    for _, word in zip(range(EDITS), cycle(_WORDS), strict=False):
        typing.key(word, look=False)
    typing.keys(20)
    return max(memory_mib(desk) - before, 0.01)
