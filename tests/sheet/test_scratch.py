"""Private folders go away with their process; what a killed one left is swept a day later."""

import errno
import os
import signal
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from reedwright.errors import FileError
from reedwright.sheet import fonts
from reedwright.sheet.scratch import STALE_S, sweep

MAKE = "from reedwright.sheet.scratch import scratch_folder; print(scratch_folder('fonts')"
OLD_S = 1_000_000.0
NOW_S = OLD_S + STALE_S + 1


@pytest.fixture
def temp(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    monkeypatch.setattr(tempfile, "tempdir", None)
    return tmp_path


def aged(folder: Path) -> Path:
    folder.mkdir(exist_ok=True)
    (folder / "Leipzig.ttf").write_bytes(b"font")
    os.utime(folder, (OLD_S, OLD_S))
    return folder


def test_a_folder_goes_with_its_process(temp: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", f"{MAKE})"], capture_output=True, text=True, check=True
    )
    folder = Path(done.stdout.strip())
    assert folder.parent == temp
    assert folder.name.startswith("reedwright-fonts-")
    assert not folder.exists()


def test_a_forked_child_leaves_its_parents_folder(temp: Path) -> None:
    script = f"{MAKE}, flush=True)\nimport os, sys\npid = os.fork()\nif not pid: sys.exit()\n"
    script += "os.waitpid(pid, 0); print(len(os.listdir(os.environ['TMPDIR'])))"
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[1:] == ["1"]
    assert list(temp.iterdir()) == []


def test_what_a_killed_process_left_is_swept_but_no_living_ones(temp: Path) -> None:
    script = f"{MAKE}, flush=True); input()"
    with subprocess.Popen(
        [sys.executable, "-c", script], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout
        folder = aged(Path(process.stdout.readline().strip()))
        sweep(NOW_S)
        assert folder.exists()
        process.send_signal(signal.SIGKILL)
        process.wait()
    assert folder.exists()
    sweep(NOW_S - 2)
    assert folder.exists()
    sweep(NOW_S)
    assert list(temp.iterdir()) == []


def test_nothing_else_is_swept(temp: Path) -> None:
    kept = {aged(temp / name) for name in ("reedwright-notes", "other-fonts-1", "reedwright")}
    plain = temp / "reedwright-fonts-file"
    plain.write_text("mine")
    link = temp / "reedwright-fonts-link"
    link.symlink_to(temp / "reedwright-notes")
    for path in (plain, link):
        os.utime(path, (OLD_S, OLD_S), follow_symlinks=False)
    stale = aged(temp / "reedwright-sheet-1")
    sweep(NOW_S)
    assert not stale.exists()
    assert set(temp.iterdir()) == {*kept, plain, link}
    assert all((folder / "Leipzig.ttf").exists() for folder in kept)


def test_the_sheet_of_another_user_stays(temp: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = aged(temp / "reedwright-fonts-1")
    other = os.getuid() + 1
    monkeypatch.setattr(os, "getuid", lambda: other)
    sweep(NOW_S)
    assert folder.exists()


def test_a_sheet_sweeps_first(temp: Path) -> None:
    stale = aged(temp / "reedwright-sheet-1")
    script = "from reedwright.sheet.fonts import font_folder; print(font_folder())"
    subprocess.run([sys.executable, "-c", script], check=True, capture_output=True)
    assert not stale.exists()
    assert list(temp.iterdir()) == []


def test_no_room_for_temporary_files_is_one_clear_error(
    temp: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fonts.font_folder.cache_clear()
    monkeypatch.setattr(Path, "write_bytes", refused)
    with pytest.raises(FileError, match=r"\.ttf: no space left.*TMPDIR"):
        fonts.font_folder()
    monkeypatch.setattr(tempfile, "mkdtemp", refused)
    with pytest.raises(FileError, match=r"no space left.*TMPDIR"):
        fonts.font_folder()
    fonts.font_folder.cache_clear()


def refused(*_: object, **__: object) -> int:
    raise OSError(errno.ENOSPC, "No space left on device")
