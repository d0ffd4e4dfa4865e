"""`reedwright sheet`: each kind of sheet by the ending of its name."""

from __future__ import annotations

from pathlib import Path

import pytest

from reedwright.cli.sheet import KINDS
from tests.cli.runs import SMALL, inside

STARTS = {
    ".pdf": b"%PDF-",
    ".svg": b"<svg",
    ".musicxml": b"<?xml",
    ".mid": b"MThd",
    ".txt": b"Small\n",
}


@pytest.fixture
def tune(tmp_path: Path) -> Path:
    path = tmp_path / "t.reed"
    path.write_text("Tempo: 60, 80\n" + SMALL)
    return path


@pytest.mark.parametrize("ending", KINDS)
def test_every_kind(ending: str, tune: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tune.with_name(f"out{ending.upper()}")  # in any letter case
    done = inside(capsys, "sheet", str(tune), "-o", str(out))
    assert (done.code, done.out, done.err) == (0, f"{out}: written\n", "")
    assert out.read_bytes().startswith(STARTS[ending])


@pytest.mark.parametrize(
    ("ending", "words"),
    [
        (".pdf", ("--large",)),
        (".pdf", ("--paper", "letter")),
        (".pdf", ("--tab", "arrows")),
        (".txt", ("--tab", "letters")),
        (".txt", ("--tempo", "72")),
        (".mid", ("--tempo", "72")),
        (".musicxml", ("--tab", "arrows")),
    ],
)
def test_every_choice_is_seen(
    ending: str, words: tuple[str, ...], tune: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plain, chosen = tune.with_name(f"a{ending}"), tune.with_name(f"b{ending}")
    inside(capsys, "sheet", str(tune), "-o", str(plain))
    assert inside(capsys, "sheet", str(tune), "-o", str(chosen), *words).code == 0
    assert plain.read_bytes() != chosen.read_bytes()


def test_a_long_tune_on_a_screen_has_several_pages(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tune = tmp_path / "long.reed"
    tune.write_text(SMALL + "\nChorus\n1 Call, 60 times\n")
    done = inside(capsys, "sheet", str(tune), "-o", str(tmp_path / "long.svg"))
    made = sorted(path.name for path in tmp_path.glob("*.svg"))
    assert made == ["long-2.svg", "long.svg"]
    assert done.out.count("written") == 2
    for number in (3, 4, 6):  # 3 and 4 are the next pages of a sheet, 6 alone is not
        (tmp_path / f"long-{number}.svg").write_text("mine")
    tune.write_text(SMALL)
    done = inside(capsys, "sheet", str(tune), "-o", str(tmp_path / "long.svg"))
    left = "not of this sheet; left as it is"
    told = [f"{tmp_path}/long-{number}.svg: {left}" for number in (2, 3, 4)]
    assert done.out.splitlines() == [f"{tmp_path}/long.svg: written", *told]
    assert (tmp_path / "long-3.svg").read_text() == "mine"


def test_standard_input_and_an_own_tuning_in_the_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    import io
    import sys

    (tmp_path / "mine.toml").write_text('name = "mine"\nbase = "country"\n')
    text = SMALL.replace("Position", "Tuning: mine.toml\nPosition")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode())))
    assert inside(capsys, "sheet", "-", "-o", "x.txt").code == 0
    assert "mine" in (tmp_path / "x.txt").read_text(encoding="utf-8")
