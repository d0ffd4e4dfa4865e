"""`reedwright ladder`: the techniques as the data file has them."""

from __future__ import annotations

import json

import pytest

from reedwright.tune.techniques import ladder
from tests.cli.runs import inside


def test_every_technique_under_its_level(capsys: pytest.CaptureFixture[str]) -> None:
    level, found = "", []
    for line in inside(capsys, "ladder").out.splitlines():
        if line and not line.startswith(" "):
            level = line
        elif line:
            difficulty, name = line.split()[:2]
            found.append((level, float(difficulty), name))
    steps = ladder()
    expected = {(t.level, t.difficulty, t.id) for t in steps.techniques.values()}
    assert set(found) == expected
    assert len(found) == len(expected)
    assert [row[0] for row in found] == sorted((row[0] for row in found), key=steps.levels.index)


def test_one_level_and_json(capsys: pytest.CaptureFixture[str]) -> None:
    document = json.loads(inside(capsys, "ladder", "--json", "--level", "improver").out)
    assert document["schema"] == "reedwright.ladder/1"
    assert document["levels"] == ["improver"]
    assert {row["level"] for row in document["techniques"]} == {"improver"}
    whole = json.loads(inside(capsys, "ladder", "--json").out)
    assert {row["id"] for row in whole["techniques"]} == set(ladder().techniques)


def test_an_unknown_level(capsys: pytest.CaptureFixture[str]) -> None:
    done = inside(capsys, "ladder", "--level", "wizard")
    assert done.code == 2
    assert "invalid choice: 'wizard'" in done.err
