"""`reedwright harp`: the chart of a harp, and the harps for a key."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from reedwright.harp.chart import chart_text
from reedwright.harp.harp import harp_named
from tests.cli.runs import inside


@pytest.mark.parametrize(
    ("words", "name", "position"),
    [
        (("C",), "C", None),
        (("low", "D", "--position", "2"), "low D", 2),
        (("A", "--tuning", "natural minor"), "A natural minor", None),
        (("A", "natural", "minor"), "A natural minor", None),
        (("Bb", "--position", "cross"), "Bb", 2),
    ],
)
def test_the_chart(
    words: tuple[str, ...], name: str, position: int | None, capsys: pytest.CaptureFixture[str]
) -> None:
    done = inside(capsys, "harp", *words)
    assert (done.code, done.err) == (0, "")
    assert done.out == chart_text(harp_named(name), position)


def test_json_and_settings(capsys: pytest.CaptureFixture[str]) -> None:
    done = inside(
        capsys, "harp", "C", "--json", "--position", "2", "--a4", "442", "--temperament",
        "7-limit just",
    )  # fmt: skip
    document = json.loads(done.out)
    assert document["schema"] == "reedwright.harp/1"
    assert document["harp"]["a4_hz"] == 442.0
    assert document["harp"]["temperament"] == "7-limit just"
    assert document["position"]["key"] == "G"


def test_a_picture(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    picture = tmp_path / "a.svg"
    done = inside(capsys, "harp", "A", "--svg", str(picture))
    assert done.out == f"{picture}: the chart of the harp A\n"
    assert picture.read_text(encoding="utf-8").startswith("<svg")
    both = inside(capsys, "harp", "A", "--svg", str(picture), "--json")
    assert json.loads(both.out)["name"] == "A"


def test_own_tuning_and_temperament(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tuning, temperament = tmp_path / "t.toml", tmp_path / "e.toml"
    tuning.write_text('name = "mine"\nbase = "richter"\n[change]\n"5d" = 18\n')
    temperament.write_text('name = "bright"\nchange = { "4" = -5 }\n')
    words = ("harp", "C", "--tuning", str(tuning), "--temperament", str(temperament), "--json")
    document = json.loads(inside(capsys, *words).out)
    assert document["harp"]["tuning"] == "mine"
    assert document["harp"]["temperament"] == "bright"
    tuning.write_text("blow = [\n")
    done = inside(capsys, "harp", "C", "--tuning", str(tuning))
    assert done.code == 2
    assert "t.toml:" in done.err


def test_harps_for_a_key(capsys: pytest.CaptureFixture[str]) -> None:
    # "Blues in E, second position: an A harp" (common practice).
    done = inside(capsys, "harp", "--for", "E")
    lines = done.out.splitlines()
    assert lines[0] == "Harps that play in E, Richter tuning:"
    assert len(lines) == 13
    assert lines[2] == "  A   harp  second (cross)    Mixolydian"
    chart = inside(capsys, "harp", "--for", "E", "--position", "2").out
    assert chart == inside(capsys, "harp", "A", "--position", "2").out
    minor = inside(capsys, "harp", "--for", "A", "--position", "2", "--tuning", "natural minor")
    assert minor.out.startswith("A harp, natural minor\n")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("H",), "is not a harp"),
        (("C", "--tuning", "richtr"), "did you mean 'Richter'?"),
        (("C", "--temperament", "fair"), "unknown temperament"),
        (("C", "--position", "13"), "Positions run from 1 to 12"),
        (("C", "--a4", "1e400"), "no frequency"),
        (("C", "--a4", "900"), "between 400 and 480"),
        (("C", "--a4", "nan"), "no frequency"),
        (("A", "natural", "minor", "--tuning", "country"), "is not a harp"),
        (("--for", "H"), ""),
        (("C", "--for", "E"), "name one harp"),
        (("C", "--tuning", "missing.toml"), "no such file"),
    ],
)
def test_what_cannot_be(
    words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    done = inside(capsys, "harp", *words)
    assert (done.code, done.out) == (2, "")
    assert said in done.err
