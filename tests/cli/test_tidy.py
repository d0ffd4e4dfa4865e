"""`reedwright tidy`: the same music, evenly written; a file changes only when asked."""

from __future__ import annotations

from pathlib import Path

import pytest

from reedwright.cli import tidy
from reedwright.tune.read import read_text
from tests.cli.runs import DEMO, SMALL, inside, run

UNTIDY = SMALL.replace("1: 2d 3d' 4d 4b", "1:  2d   3d'  4d\t4b").replace("\n\n", "\n\n\n\n")


def test_the_tidy_text_is_printed_and_the_file_left(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tune = tmp_path / "t.reed"
    tune.write_text(UNTIDY)
    done = inside(capsys, "tidy", str(tune))
    assert (done.code, done.out, done.err) == (0, SMALL, "")
    assert tune.read_text() == UNTIDY


def test_write_changes_the_file_and_keeps_its_link(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tune, link = tmp_path / "t.reed", tmp_path / "link.reed"
    tune.write_text(UNTIDY)
    link.symlink_to(tune)
    done = inside(capsys, "tidy", "--write", str(link))
    assert (done.code, done.out) == (0, f"{link}: tidied\n")
    assert tune.read_text() == SMALL
    assert link.is_symlink()
    done = inside(capsys, "tidy", "--write", str(link))
    assert (done.code, done.out) == (0, "1 tune, tidy.\n")


def test_check_only_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tidy_one, other = tmp_path / "a.reed", tmp_path / "b.reed"
    tidy_one.write_text(SMALL)
    other.write_text(UNTIDY)
    done = inside(capsys, "tidy", "--check", str(tidy_one), str(other))
    assert done.code == 1
    assert done.out == f"{other}: not tidy\nMend: reedwright tidy --write {other}\n"
    assert other.read_text() == UNTIDY
    third = tmp_path / "my tune.reed"
    third.write_text(UNTIDY)
    done = inside(capsys, "tidy", "--check", str(third), str(tidy_one), str(other))
    assert done.out.splitlines()[-1] == f"Mend: reedwright tidy --write '{third}' {other}"
    assert inside(capsys, "tidy", "--check", str(tidy_one)).code == 0


def test_check_of_standard_input() -> None:
    done = run("tidy", "--check", "-", stdin=UNTIDY.encode())
    assert (done.code, done.err) == (1, "")
    assert done.out == (
        "standard input: not tidy\nMend: reedwright tidy - prints it evenly written\n"
    )


def test_none_is_written_when_one_cannot_be_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    good, bad = tmp_path / "a.reed", tmp_path / "b.reed"
    good.write_text(UNTIDY)
    bad.write_text(SMALL + "1: 4z\n")
    assert inside(capsys, "tidy", "--write", str(good), str(bad)).code == 2
    assert good.read_text() == UNTIDY


def test_a_tidy_text_that_reads_differently_is_never_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    tune = tmp_path / "t.reed"
    tune.write_text(UNTIDY)
    monkeypatch.setattr(tidy, "write_tune", lambda text, signed: SMALL.replace("4d", "5d"))
    done = inside(capsys, "tidy", "--write", str(tune))
    assert done.code == 70
    assert tune.read_text() == UNTIDY


@pytest.mark.parametrize("tune", DEMO, ids=lambda path: path.stem)
def test_the_demo_tunes_are_tidy(tune: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert inside(capsys, "tidy", "--check", str(tune)).code == 0
    text = tune.read_text(encoding="utf-8")
    assert read_text(inside(capsys, "tidy", str(tune)).out) == read_text(text)
