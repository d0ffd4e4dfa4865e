"""`reedwright fit`: choices in words, as JSON, as a tune, as a table; and wrong words."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from reedwright.check.check import check
from reedwright.cli.fittable import FEW, Job, rows_of, table_lines
from reedwright.fit.sources import sources_of
from reedwright.fit.wishes import Wishes, all_harps
from reedwright.tune.load import load_tune
from reedwright.tune.place import place
from tests.cli.runs import DEMO, inside, run
from tests.fit.files import SCALE, midi, notes, track

ABC = "X:1\nT:Gate Song\nM:3/4\nL:1/4\nK:G\nGBd|e2d|B2A|G3|GBd|e2d|BAF|G3|]\n"
BOOK = ABC + "\nX:2\nT:High One\nM:4/4\nL:1/4\nK:D\ndefg|abag|f2d2|]\n\nX:3\nT:Silence\nK:C\nz4|\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "gate.abc").write_text(ABC)
    (tmp_path / "book.abc").write_text(BOOK)
    (tmp_path / "scale.mid").write_bytes(midi(track(*notes(SCALE))))
    (tmp_path / "two.mid").write_bytes(midi(track(*notes(SCALE)), track(*notes(SCALE))))
    (tmp_path / "there.reed").write_text("mine")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_choices_in_words(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    done = inside(capsys, "fit", "gate.abc", "--harps", "C,G,D", "--choices", "2")
    assert (done.code, done.err) == (0, "")
    assert done.out.startswith("Gate Song: 17 notes in 8 bars of 3/4, straight, 100 beats a minute")
    for words in ("\n1. G harp, first", "Why before number 2:", "\n2. ", "copyright"):
        assert words in done.out
    assert "\n3. " not in done.out


def test_json(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    done = inside(capsys, "fit", "scale.mid", "--json", "--student", "beginner", "--tempo", "80")
    document = json.loads(done.out)
    assert document["schema"] == "reedwright.fit/1"
    assert document["melody"]["tempo_bpm"] == 80
    assert all(row["bends"] == row["overbends"] == 0 for row in document["choices"])


def test_the_first_choice_as_a_tune(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    done = inside(capsys, "fit", "gate.abc", "-o", "gate.reed")
    assert done.code == 0
    assert done.out.endswith("\ngate.reed: the first choice. Next: reedwright check gate.reed\n")
    tune = load_tune(folder / "gate.reed")
    score = place(tune)
    assert (tune.title, str(tune.meter), len(score.events)) == ("Gate Song", "3/4", 17)
    assert check(score).ok


def test_positions_and_a_tune_of_ones_own(capsys: pytest.CaptureFixture[str]) -> None:
    done = inside(capsys, "fit", str(DEMO[0]), "--position", "3", "--json", "--fold", "--drop")
    assert done.code == 0
    assert {row["position"] for row in json.loads(done.out)["choices"]} == {3}


def test_a_tune_of_a_book(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert inside(capsys, "fit", "book.abc", "--part", "2").out.startswith("High One: ")


def test_a_table(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = (
        "fit",
        "book.abc",
        "scale.mid",
        "gone.mid",
        str(DEMO[0]),
        "--table",
        "--harps",
        "C,G,D,A",
    )
    done = inside(capsys, *words, "--fold")
    lines = done.out.splitlines()
    assert done.code == 1
    assert lines[0].split() == [
        "melody", "harp", "position", "notes", "natural", "bent", "air", "points",
    ]  # fmt: skip
    assert lines[1].split()[:5] == ["Gate", "Song", "G", "1", "17"]
    assert lines[2].startswith("High One ")
    assert lines[3].startswith("Silence  no notes in this file")
    assert lines[4].startswith("scale ")
    assert lines[5].startswith("gone.mid  gone.mid: no such file")
    assert lines[6].startswith(DEMO[0].stem)
    assert lines[7] == "4 of 6 melodies fitted. Each may still be in copyright; you must know."


@pytest.mark.slow
def test_two_processes_say_what_one_says() -> None:
    source = sources_of(ABC.encode(), "gate.abc")[0]
    jobs = [Job(f"{at}", source) for at in range(FEW + 5)]
    wishes = Wishes(harps=all_harps(("G", "C"), ("Richter",)), choices=1, tabs=1)
    alone, together = (rows_of(jobs, wishes, None, None, workers) for workers in (1, 2))
    assert together == alone
    assert len(list(table_lines(alone))) == len(jobs) + 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("gone.mid",), "gone.mid: no such file or directory"),
        (("there.reed",), "5 errors in there.reed"),
        (("two.mid",), "two.mid: 2 parts, and no one is clearly the melody"),
        (("two.mid", "--part", "3"), "no notes in part 3"),
        (("book.abc",), "book.abc: a book of 3 tunes"),
        (("book.abc", "--part", "3"), "no notes in this file"),
        (("gate.abc", "--part", "x"), "--part is a number from 1"),
        (("gate.abc", "--choices", "0"), "--choices is a number from 1"),
        (("gate.abc", "--choices", "51"), "It lies between 1 and 50"),
        (("gate.abc", "--harps", "H"), "is not a harp"),
        (("gate.abc", "--harps", ","), "a list needs at least one name"),
        (("gate.abc", "--tunings", "odd"), "odd"),
        (("gate.abc", "--position", "13"), "position"),
        (("gate.abc", "--tempo", "0"), "tempo"),
        (("gate.abc", "--student", "wizard"), "invalid choice"),
        (("gate.abc", "-o", "there.reed"), "there is a file of this name"),
        (("gate.abc", "-o", "gate.txt"), "a tune's file ends in .reed"),
        (("gate.abc", "scale.mid", "--json"), "--json goes with one melody"),
        (("gate.abc", "--table", "-o", "new.reed"), "-o goes with one melody"),
        (("gate.abc", "--table", "--part", "1"), "--part goes with one melody"),
    ],
)
def test_what_cannot_be(
    words: tuple[str, ...], said: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = sorted(path.name for path in folder.iterdir())
    done = inside(capsys, "fit", *words)
    assert (done.code, done.out) == (2, "")
    assert said in done.err
    assert "Traceback" not in done.err
    assert sorted(path.name for path in folder.iterdir()) == before
    assert (folder / "there.reed").read_text() == "mine"


@pytest.mark.slow
def test_in_a_process_of_its_own(folder: Path) -> None:
    done = run("fit", "gate.abc", "--harps", "G", cwd=folder)
    assert (done.code, done.err) == (0, "")
    assert "1. G harp" in done.out


def test_a_full_disk_leaves_nothing(folder: Path) -> None:
    done = run("fit", "gate.abc", "-o", "new.reed", cwd=folder, limit_bytes=100)
    assert done.code == 2
    assert not (folder / "new.reed").exists()
