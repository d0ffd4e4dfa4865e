"""`reedwright desk`: what it prints, what it refuses, and how it ends."""

from __future__ import annotations

import signal
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from tests.desk.served import TUNE, Server, edit, server

from reedwright.cli.main import main  # isort: skip - after the skip of served


def refused(words: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    assert main(["desk", *words]) == 2
    return capsys.readouterr().err


def test_a_folder_that_is_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = refused([str(tmp_path / "nothing"), "--no-browser"], capsys)
    assert told.strip().endswith("not a folder. Mend: name a folder for your tunes, or make it.")


@pytest.mark.parametrize("port", ["x", "-1", "65536", "99999999", "１"])
def test_a_port_that_is_none(tmp_path: Path, port: str, capsys: pytest.CaptureFixture[str]) -> None:
    told = refused([str(tmp_path), f"--port={port}", "--no-browser"], capsys)
    assert "is no port; write 0 to 65535." in told


def test_a_port_that_is_taken(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        number = taken.getsockname()[1]
        told = refused([str(tmp_path), "--port", str(number), "--no-browser"], capsys)
    assert told.startswith(f"port {number}: address already in use.")
    assert "choose another with --port" in told


def test_a_library_that_is_missing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in [name for name in sys.modules if name.startswith("reedwright.desk.serve")]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "uvicorn", None)
    told = refused([str(tmp_path), "--no-browser"], capsys)
    assert "the library uvicorn is missing. Mend: pip install 'reedwright[desk]'." in told


def test_a_folder_one_may_not_write_in(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / ".reedwright").write_text("a file in its place", encoding="utf-8")
    told = refused([str(tmp_path), "--port", "0", "--no-browser"], capsys)
    assert "Mend:" in told
    assert "Traceback" not in told


def test_two_desks_never_share_a_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with server(tmp_path) as desk:
        told = refused([str(tmp_path), "--port", "0", "--no-browser"], capsys)
        assert "another desk is open over it. Mend: use its page" in told
        desk.kill()
        desk.again()


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_it_ends_when_it_is_told_and_saves(tmp_path: Path, how: signal.Signals) -> None:
    (tmp_path / "a.reed").write_text(TUNE, encoding="utf-8")
    desk = Server(tmp_path)
    assert edit(desk.client, "a", 1, "typed last\n").status_code == 200
    desk.process.send_signal(how)
    desk.process.wait(20)
    assert desk.process.stdout is not None
    desk.process.stdout.close()
    desk.client.close()
    assert desk.process.returncode in (0, 130, -how)
    assert (tmp_path / "a.reed").read_text(encoding="utf-8") == "typed last\n"


def test_only_this_machine_can_ask(tmp_path: Path) -> None:
    desk = Server(tmp_path)
    try:
        listening = Path("/proc/net/tcp")
        if not listening.exists():
            pytest.skip("this system does not tell who listens")
        port = int(desk.base.rpartition(":")[2])
        rows = [row.split()[1] for row in listening.read_text("ascii").splitlines()[1:]]
        ours = [row for row in rows if row.endswith(f":{port:04X}")]
        assert ours
        assert all(row.startswith("0100007F:") for row in ours)
    finally:
        desk.stop()


def test_the_command_line_loads_none_of_it() -> None:
    code = "import reedwright.cli.desk, sys; print(sorted(m for m in sys.modules if m in BAD))"
    bad = {"starlette", "uvicorn", "anyio", "numpy", "reedwright.desk.app"}
    done = subprocess.run(
        [sys.executable, "-c", code.replace("BAD", repr(bad))],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == "[]"


def test_the_server_loads_neither_numbers_nor_engraver() -> None:
    code = "import reedwright.desk.serve, sys; print([m for m in BAD if m in sys.modules])"
    bad = ["numpy", "scipy", "numba", "verovio", "typst", "soundfile"]
    done = subprocess.run(
        [sys.executable, "-c", code.replace("BAD", repr(bad))],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == "[]"
