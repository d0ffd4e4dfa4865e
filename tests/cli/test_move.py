"""`reedwright move`: the tab kept on another harp, the melody kept in another position."""

from __future__ import annotations

from pathlib import Path

import pytest

from reedwright.tune.load import load_tune
from reedwright.tune.place import place
from reedwright.tune.tune import Tune
from tests.cli.runs import SMALL, inside, run


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "small.reed").write_text(SMALL)
    (tmp_path / "chord.reed").write_text(SMALL.replace("2d 3d'", "1+2+3+4d 3d'"))
    (tmp_path / "there.reed").write_text("mine")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def heard(tune: Tune) -> list[int]:
    return [tune.harp.midi(note) for event in place(tune).events for note in event.sound.notes]


def test_another_harp_keeps_the_tab(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    done = inside(capsys, "move", "small.reed", "--harp", "A", "-o", "a.reed")
    assert (done.code, done.err) == (0, "")
    assert done.out == (
        "The same holes on the A harp.\na.reed: written. Next: reedwright check a.reed\n"
    )
    old, new = load_tune(folder / "small.reed"), load_tune(folder / "a.reed")
    assert new.harp.name == "A"
    assert [p - q for p, q in zip(heard(old), heard(new), strict=True)] == [3] * 4


def test_another_position_keeps_the_melody(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    done = inside(capsys, "move", "small.reed", "--position", "1", "-o", "first.reed")
    assert done.code == 0
    assert done.out.splitlines()[0] == "First (straight) position, G harp, 1 octave up."
    old, new = load_tune(folder / "small.reed"), load_tune(folder / "first.reed")
    assert (new.harp.key, new.position, new.key) == ("G", 1, old.key)
    shifts = {p - q for p, q in zip(heard(old), heard(new), strict=True)}
    assert len(shifts) == 1
    assert shifts.pop() % 12 == 0


def test_without_a_file_the_tune_is_printed(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    done = inside(capsys, "move", "small.reed", "--harp", "D")
    assert done.code == 0
    assert "Harp: D\n" in done.out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("small.reed",), "required"),
        (("small.reed", "--harp", "A", "--position", "2"), "not allowed"),
        (("small.reed", "--harp", "H"), "is not a harp"),
        (("small.reed", "--position", "0"), "position"),
        (("chord.reed", "--position", "5"), "1+2+3+4d has no place on the"),
        (("gone.reed", "--harp", "A"), "no such file"),
        (("there.reed", "--harp", "A"), "5 errors in there.reed"),
        (("small.reed", "--harp", "A", "-o", "there.reed"), "there is a file of this name"),
        (("small.reed", "--harp", "A", "-o", "x.txt"), "a tune's file ends in .reed"),
    ],
)
def test_what_cannot_be(
    words: tuple[str, ...], said: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    done = inside(capsys, "move", *words)
    assert (done.code, done.out) == (2, "")
    assert said in done.err
    assert sorted(path.name for path in folder.iterdir()) == [
        "chord.reed",
        "small.reed",
        "there.reed",
    ]


@pytest.mark.slow
def test_a_full_disk_leaves_nothing(folder: Path) -> None:
    done = run("move", "small.reed", "--harp", "A", "-o", "new.reed", cwd=folder, limit_bytes=10)
    assert done.code == 2
    assert not (folder / "new.reed").exists()
