"""Editable tables: a teacher's own in place of the packaged ones, and their faults."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from reedwright.errors import FileError
from reedwright.tables import EDITABLE, FOLDER_VARIABLE, own_tables, packaged_text, table_text

TUNE = """\
Title: Small
Harp: C
Position: 2
Student: beginner

Lick Call
1: 4d' = = .
"""


def run(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "reedwright", *words],
        env={**os.environ, FOLDER_VARIABLE: str(folder)},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("name", sorted(EDITABLE))
def test_without_a_folder_the_packaged_table_is_read(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv(FOLDER_VARIABLE, raising=False)
    assert table_text(name) == (packaged_text(name), name)
    assert own_tables() == {}


def test_a_copy_in_the_named_folder_takes_its_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    assert own_tables() == {}
    (tmp_path / "moves.toml").write_text("# mine\n")
    assert table_text("moves.toml") == ("# mine\n", str(tmp_path / "moves.toml"))
    assert table_text("techniques.toml") == (packaged_text("techniques.toml"), "techniques.toml")
    assert list(own_tables()) == ["moves.toml"]


def test_a_copy_that_is_no_text_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    (tmp_path / "moves.toml").write_bytes(b"\xff")
    with pytest.raises(FileError) as caught:
        table_text("moves.toml")
    mend = "Mend: save it as UTF-8 in your editor."
    assert str(caught.value) == f"{tmp_path / 'moves.toml'}: not UTF-8 text. {mend}"


def test_tables_are_copied_edited_and_used(tmp_path: Path) -> None:
    folder, tune = tmp_path / "mine", tmp_path / "small.reed"
    tune.write_text(TUNE)
    assert run(folder, "ladder", "--copy", str(folder)).returncode == 0
    assert "beyond the student" in run(folder, "check", str(tune)).stdout.lower()
    ladder = (folder / "techniques.toml").read_text(encoding="utf-8")
    bend = ladder.index("half-step bend on 4 draw")
    eased = ladder[:bend] + ladder[bend:].replace('level = "improver"', 'level = "beginner"', 1)
    (folder / "techniques.toml").write_text(eased, encoding="utf-8")
    assert "beyond the student" not in run(folder, "check", str(tune)).stdout.lower()


def test_a_copy_is_never_written_over(tmp_path: Path) -> None:
    assert run(tmp_path, "ladder", "--copy", str(tmp_path)).returncode == 0
    (tmp_path / "moves.toml").write_text("# mine\n")
    again = run(tmp_path, "ladder", "--copy", str(tmp_path))
    assert again.returncode == 2
    assert "is there already" in again.stderr
    assert (tmp_path / "moves.toml").read_text() == "# mine\n"


@pytest.mark.parametrize("name", ["moves.toml", "techniques.toml"])  # what `check` reads
@pytest.mark.parametrize("text", ["[", "levels = 3", "x = 1", "a = " + "[" * 5000])
def test_a_table_at_fault_is_one_clear_error(name: str, text: str, tmp_path: Path) -> None:
    tune = tmp_path / "small.reed"
    tune.write_text(TUNE)
    (tmp_path / name).write_text(text)
    done = run(tmp_path, "check", str(tune))
    assert (done.returncode, done.stdout) == (2, "")
    assert name in done.stderr
    assert "Traceback" not in done.stderr


def test_a_pack_is_made_again_after_a_change_of_a_table(tmp_path: Path) -> None:
    tune, folder, mine = tmp_path / "small.reed", tmp_path / "pack", tmp_path / "mine"
    tune.write_text(TUNE)
    mine.mkdir()
    assert run(mine, "pack", str(tune), "-o", str(folder), "--audio", "none").returncode == 0
    first = json.loads((folder / "pack.json").read_text())["made_from"]["own_tables"]
    (mine / "moves.toml").write_text(packaged_text("moves.toml").replace("10.0", "11.0"))
    assert run(mine, "pack", str(tune), "-o", str(folder), "--audio", "none").returncode == 0
    second = json.loads((folder / "pack.json").read_text())["made_from"]["own_tables"]
    assert (first, list(second)) == ({}, ["moves.toml"])
