"""The server killed at any moment: every acknowledged keystroke is found again.

Twenty kills here, as many as one likes in `make soak` (tests/soak_desk.py).
"""

from __future__ import annotations

import random
import time
from pathlib import Path

import pytest

from tests.desk.served import TUNE, Server, edit, server, waited

from tests.desk.killing import killed_once, shelf_in  # isort: skip - after the skip of served

pytestmark = pytest.mark.slow
KILLS = 20


def test_twenty_kills_lose_no_key(tmp_path: Path) -> None:
    chance = random.Random(20)
    keys = 0
    with server(shelf_in(tmp_path / "shelf")) as desk:
        for _ in range(KILLS):
            keys += killed_once(desk, "typed", chance)
    assert keys > KILLS


def test_a_full_disk_is_told_and_nothing_is_lost(tmp_path: Path) -> None:
    """The system's own limit on the size of files (RLIMIT_FSIZE) stands for a full disk."""
    resource = pytest.importorskip("resource", reason="this system has no such limits")
    if not hasattr(resource, "prlimit"):
        pytest.skip("this system cannot limit a running process")
    with server(shelf_in(tmp_path / "shelf")) as desk:
        version = edit(desk.client, "typed", 1, TUNE + "# one\n").json()["version"]
        journal = desk.folder / ".reedwright" / "typed.journal"
        assert waited(lambda: "# one" in (desk.folder / "typed.reed").read_text("utf-8"))
        time.sleep(0.3)
        size = journal.stat().st_size
        unlimited = resource.RLIM_INFINITY
        resource.prlimit(desk.process.pid, resource.RLIMIT_FSIZE, (size + 20, unlimited))
        refused = edit(desk.client, "typed", version, TUNE + "# two\n" * 50)
        assert refused.status_code == 507
        assert refused.json()["error"]["found"] == "the disk is full"
        assert journal.stat().st_size == size
        assert desk.client.get("/api/tunes/typed").json()["text"] == TUNE + "# one\n"
        new = desk.client.post("/api/tunes", json={"text": TUNE + "# long\n" * 200})
        assert new.status_code == 507
        assert [path.name for path in desk.folder.glob("*.reed")] == ["typed.reed"]
        resource.prlimit(desk.process.pid, resource.RLIMIT_FSIZE, (unlimited, unlimited))
        again = edit(desk.client, "typed", version, TUNE + "# two\n" * 50)
        assert again.status_code == 200
        desk.kill()
        desk.again()
        assert desk.client.get("/api/tunes/typed").json()["text"] == TUNE + "# two\n" * 50


def test_workers_end_with_a_killed_server(tmp_path: Path) -> None:
    made = Server(shelf_in(tmp_path / "shelf"))
    made.client.get("/api/tunes/typed")
    assert made.client.get("/api/tunes/typed/staff").status_code == 200
    assert made.client.get("/api/note", params={"harp": "C", "tab": "4b"}).status_code == 200
    children = _children(made.process.pid)
    assert children
    made.kill()
    assert waited(lambda: not any(Path(f"/proc/{pid}").exists() for pid in children), 20)


def _children(pid: int) -> list[int]:
    path = Path(f"/proc/{pid}/task/{pid}/children")
    if not path.exists():
        pytest.skip("this system does not tell a process's children")
    found: list[int] = []
    for task in Path(f"/proc/{pid}/task").iterdir():
        found += [int(each) for each in (task / "children").read_text("ascii").split()]
    return found
