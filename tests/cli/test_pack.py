"""`reedwright pack`: what is told about it; and the whole program killed in the middle."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from pathlib import Path

import pytest

from tests.cli.runs import SMALL, TIMEOUT_S, command, environment, inside, run
from tests.cli.test_terminal import on_a_terminal
from tests.pack.folders import files_in, hidden, untrue


@pytest.fixture
def tune(tmp_path: Path) -> Path:
    path = tmp_path / "t.reed"
    path.write_text(SMALL)
    return path


def test_what_is_told(tune: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "lesson"
    words = ("pack", str(tune), "-o", str(folder), "--audio", "none")
    done = inside(capsys, *words)
    assert (done.code, done.err) == (0, "")
    assert done.out == f"Small: 10 files in {folder}; print {folder}/sheet.pdf\n"
    done = inside(capsys, *words)
    assert done.out == f"Small: nothing has changed, {folder} is up to date.\n"
    (folder / "sheet.txt").write_text("my marks")
    done = inside(capsys, *words)
    assert "  sheet.txt was not as we left it; your copy is now sheet.kept.txt\n" in done.out
    tune.write_text(SMALL + "\nChorus\n1 Call, 60 times\n")
    inside(capsys, *words)
    assert (folder / "sheet-2.svg").exists()
    tune.write_text(SMALL)
    done = inside(capsys, *words)
    assert "  sheet-2.svg is not needed any more and is gone\n" in done.out


def test_a_person_sees_how_far_it_is(tune: Path, tmp_path: Path) -> None:
    words = ("pack", str(tune), "-o", str(tmp_path / "lesson"), "--audio", "none")
    shown = on_a_terminal(*words, NO_COLOR="1")
    drawn = [part for part in shown.replace("\x1b[K", "").split("\r") if part.strip()]
    assert any("%" in part and "tune.reed" in part for part in drawn)
    assert drawn[-1].strip().startswith("Small: 10 files in")


def test_a_full_disk_leaves_the_old_pack(tune: Path, tmp_path: Path) -> None:
    folder = tmp_path / "lesson"
    assert run("pack", str(tune), "-o", str(folder), "--audio", "none").code == 0
    before = files_in(folder)
    tune.write_text(SMALL.replace("4b", "4d"))
    done = run("pack", str(tune), "-o", str(folder), "--audio", "none", limit_bytes=3_000)
    assert (done.code, done.out) == (2, "")
    assert "file too large" in done.err
    assert files_in(folder) == before


@pytest.mark.slow
def test_killed_at_any_moment(tune: Path, tmp_path: Path) -> None:
    """kill -9 after more and more time: the old pack or the new one, never a mixture after the
    next run, and the user's file always there."""
    folder = tmp_path / "lesson"
    words = ("pack", str(tune), "-o", str(folder), "--audio", "none")
    assert run(*words).code == 0
    (folder / "notes.txt").write_text("mine")
    old, finished, delay_s = files_in(folder), 0, 0.0
    while finished < 2 and delay_s < TIMEOUT_S:
        delay_s += 0.12
        tune.write_text(SMALL.replace("4b", "4d"))
        process = subprocess.Popen(
            command(*words), env=environment(), stdout=subprocess.PIPE, stderr=subprocess.PIPE
        )
        time.sleep(delay_s)
        process.send_signal(signal.SIGKILL)
        process.communicate()
        finished += process.returncode == 0
        if hidden(folder) in ([], [".reedwright-building"]):
            assert untrue(folder) == []
            assert files_in(folder)["tune.reed"] in (old["tune.reed"], tune.read_bytes())
        tune.write_text(SMALL)
        assert run(*words).code == 0
        assert files_in(folder) == old
    assert finished == 2


def test_two_at_once(tune: Path, tmp_path: Path) -> None:
    folder = tmp_path / "lesson"
    words = command("pack", str(tune), "-o", str(folder), "--audio", "none")
    env = environment()
    runs = [
        subprocess.Popen(words, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        for _ in range(3)
    ]
    for one in runs:
        _, err = one.communicate(timeout=TIMEOUT_S)
        assert (one.returncode, err) == (0, b"")
    assert untrue(folder) == []
    assert hidden(folder) == []


def test_an_unwritable_folder(tune: Path, tmp_path: Path) -> None:
    if os.geteuid() == 0:
        pytest.skip("root writes everywhere")
    folder = tmp_path / "lesson"
    folder.mkdir(mode=0o555)
    done = run("pack", str(tune), "-o", str(folder), "--audio", "none")
    assert done.code == 2
    assert "permission denied" in done.err
