"""`reedwright lesson`: the outline names every piece, and moved cuts are heard or complained of."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from reedwright.lesson.study import study
from reedwright.tune.load import load_tune
from reedwright.tune.place import place
from tests.cli.runs import DEMO, SMALL, inside


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_every_lick_and_piece_is_there(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    done = inside(capsys, "lesson", str(path))
    found = study(place(load_tune(path)))
    assert done.code == 0
    heads = [line.split(".")[0] for line in done.out.splitlines() if "Difficulty" in line]
    assert [head.split(",")[0] for head in heads[1:]] == [lick.line.lick for lick in found.licks]
    numbered = [line for line in done.out.splitlines() if line[:2] == "  " and line[2:3].isdigit()]
    assert len(numbered) == len(found.pieces)


def test_json_is_the_lesson(capsys: pytest.CaptureFixture[str]) -> None:
    document = json.loads(inside(capsys, "lesson", str(DEMO[0]), "--json").out)
    assert document["schema"] == "reedwright.lesson/1"
    assert document["licks"]


def test_a_cut_of_the_teachers_is_made_and_a_lost_one_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "small.reed"
    path.write_text(SMALL)
    assert "1. 2d 3d' 4d 4b" in inside(capsys, "lesson", str(path)).out
    cuts = "cut before call:1.3.1@1.1\ncut before call:9.1.1@1.1\n"
    (tmp_path / "small.cuts").write_text(cuts)
    done = inside(capsys, "lesson", str(path))
    assert "1. 2d 3d'\n" in done.out
    assert "2. 4d 4b\n" in done.out
    assert "warning" in done.err
    assert "call:9.1.1@1.1" in done.err
    (tmp_path / "small.cuts").write_text("cut here please\n")
    assert inside(capsys, "lesson", str(path)).code == 2


def test_a_tune_with_errors_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "small.reed"
    path.write_text(SMALL.replace("3d'", "5d'"))
    done = inside(capsys, "lesson", str(path))
    assert done.code == 1
    assert "5d'" in done.err


def test_silence_is_no_lesson(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "small.reed"
    path.write_text(SMALL.replace("2d 3d' 4d 4b", ". . . ."))
    done = inside(capsys, "lesson", str(path))
    assert done.code == 0
    assert "nothing to learn" in done.out
    assert "Call" in done.out
