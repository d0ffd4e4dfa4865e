"""`reedwright amp`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.runs import ROOT, inside, run

FILE = ROOT / "demo" / "corner-stage.amp"


def test_the_default_rig_and_a_file(capsys: pytest.CaptureFixture[str]) -> None:
    done = inside(capsys, "amp")
    assert done.code == 0
    assert done.out.startswith("A small valve amplifier: a note of 440 Hz through every stage\n")
    done = inside(capsys, "amp", str(FILE))
    assert "springs 1.8 s, 12 %" in done.out
    assert "250 to 500 V" in done.out


def test_json(capsys: pytest.CaptureFixture[str]) -> None:
    told = json.loads(inside(capsys, "amp", str(FILE), "--json").out)
    assert told["schema"] == "reedwright.amp/1"
    assert told["name"] == "Corner stage"


def test_the_copy_is_the_default_and_never_overwrites(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    mine = tmp_path / "my.amp"
    assert inside(capsys, "amp", "--copy", str(mine)).code == 0
    told, default = (
        json.loads(inside(capsys, "amp", *words, "--json").out) for words in ([str(mine)], [])
    )
    assert told == default
    mine.write_text("kept")
    done = inside(capsys, "amp", "--copy", str(mine))
    assert done.code == 2
    assert "is there already" in done.err
    assert mine.read_text() == "kept"


def test_bad_files_end_in_one_clear_error_each(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    bad = tmp_path / "bad.amp"
    bad.write_text("[echo]\ndelay_ms = 1\nshare = 3\n")
    done = inside(capsys, "amp", str(bad))
    assert (done.code, done.out) == (2, "")
    assert [line.split(": ")[1] for line in done.err.splitlines()] == [
        "delay_ms = 1. A number from 30 to 1000 is needed. Mend",
        "unknown 'share'. Keys of [echo] are delay_ms, share_percent, repeat_percent. Mend",
    ]
    bad.write_bytes(b'name = "\xff"')
    assert "not UTF-8" in inside(capsys, "amp", str(bad)).err
    assert "a folder, not an amp file" in inside(capsys, "amp", str(tmp_path)).err
    assert inside(capsys, "amp", str(tmp_path / "none.amp")).code == 2
    assert "--copy stands alone" in inside(capsys, "amp", str(FILE), "--copy", "x.amp").err


def test_help_needs_no_numbers() -> None:
    """The parser is built without loading the libraries for sound."""
    done = run("amp", "--help")
    assert done.code == 0
    assert "An amp file holds only what differs" in done.out
