"""`reedwright check`: the report of the check room, for a person and for a program."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest

from reedwright.check.as_json import report_json
from reedwright.check.as_text import report_text
from reedwright.check.check import check
from reedwright.cli.check import score_at
from reedwright.tune.load import load_tune
from reedwright.tune.place import place
from tests.cli.runs import DEMO, SMALL, inside


@pytest.mark.parametrize("tune", DEMO, ids=lambda path: path.stem)
def test_text_and_json_are_the_check_rooms(tune: Path, capsys: pytest.CaptureFixture[str]) -> None:
    report = check(place(load_tune(tune)))
    lines = tune.read_text(encoding="utf-8").split("\n")
    done = inside(capsys, "check", str(tune))
    assert (done.code, done.err) == (0, "")
    assert done.out == report_text(report, lines).rstrip("\n") + "\n"
    done = inside(capsys, "check", str(tune), "--json")
    assert (done.code, done.err) == (0, "")
    assert json.loads(done.out) == json.loads(json.dumps(report_json(report)))


def test_errors_end_in_exit_code_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tune = tmp_path / "t.reed"
    tune.write_text(SMALL.replace("3d'", "5d'"))
    done = inside(capsys, "check", str(tune))
    assert done.code == 1
    assert "1: 2d 5d' 4d 4b" in done.out
    done = inside(capsys, "check", str(tune), "--json")
    assert done.code == 1
    severities = [finding["severity"] for finding in json.loads(done.out)["findings"]]
    assert "error" in severities


def test_another_tempo(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tune = tmp_path / "t.reed"
    tune.write_text("Tempo: 60, 80, 100\n" + SMALL)
    for tempo, tempos in (("80", [60, 80]), ("90.5", [60, 80, 90.5]), ("40", [40])):
        done = inside(capsys, "check", str(tune), "--json", "--tempo", tempo)
        assert json.loads(done.out)["tempos_bpm"] == tempos
    assert score_at(load_tune(tune), None) == place(load_tune(tune))
    assert score_at(load_tune(tune), Fraction(200)).tune.full_tempo_bpm == 200
    for wrong in ("fast", "0", "401", "9" * 400, ""):
        done = inside(capsys, "check", str(tune), "--tempo", wrong)
        assert (done.code, done.out) == (2, "")
        assert done.err.startswith("reedwright check: --tempo: ")
        assert len(done.err) < 300


def test_wrong_lungs_are_shown_with_their_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tune = tmp_path / "t.reed"
    tune.write_text("Lungs: vital capacity 900\n" + SMALL)
    for words in (
        ("check", str(tune)),
        ("pack", str(tune), "-o", str(tmp_path / "p"), "--audio", "none"),
    ):
        done = inside(capsys, *words)
        assert (done.code, done.out) == (2, "")
        assert "Lungs: vital capacity 900" in done.err
        assert "1 error in" in done.err
