"""`reedwright new`: a starter with which nothing is wrong, on any harp."""

from __future__ import annotations

from pathlib import Path

import pytest

from reedwright.check.check import check
from reedwright.tune.place import place
from reedwright.tune.read import read_text, read_tune
from reedwright.tune.write import write_tune
from tests.cli.runs import inside


@pytest.mark.parametrize("harp", ["A", "Bb", "low D", "high G", "F#"])
def test_the_starter_is_valid_tidy_and_without_findings(
    harp: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "back-porch.reed"
    done = inside(capsys, "new", str(path), "--harp", harp)
    assert done.code == 0
    assert done.out == f"{path}: twelve bars to change. Next: reedwright check {path}\n"
    text = path.read_text(encoding="utf-8")
    tune = read_tune(text)
    assert (tune.title, tune.harp.name) == ("Back Porch", harp)
    assert write_tune(*read_text(text)) == text
    score = place(tune)
    assert score.bars == 12
    assert check(score).findings == ()


def test_a_title_of_ones_own(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "x.reed"
    inside(capsys, "new", str(path), "--title", "  Blue   # Porch > @HARP@ ")
    assert read_tune(path.read_text(encoding="utf-8")).title == "Blue # Porch > @HARP@"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("there.reed",), "there is a file of this name"),
        (("dangling.reed",), "there is a file of this name"),
        (("x.reed", "--harp", "H"), "is not a harp"),
        (("x.reed", "--harp", "A natural minor"), "is not a harp"),
        (("x.reed", "--title", "a" * 201), "a title is one line"),
        (("x.reed", "--title", "a\x07"), "a title is one line"),
        (("x",), "ends in .reed, such as x.reed"),
    ],
)
def test_what_cannot_be(
    words: tuple[str, ...],
    said: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("there.reed").write_text("mine")
    Path("dangling.reed").symlink_to("nowhere")
    done = inside(capsys, "new", *words)
    assert (done.code, done.out) == (2, "")
    assert said in done.err
    assert sorted(path.name for path in tmp_path.iterdir()) == ["dangling.reed", "there.reed"]
    assert Path("there.reed").read_text() == "mine"
