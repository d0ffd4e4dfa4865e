"""The child that reads what somebody brings: it answers, and it can do nothing else."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

pytest.importorskip("starlette", reason="the desk's server needs starlette")

from reedwright.desk.faults import DeskError
from reedwright.desk.fitting import limited
from reedwright.desk.limited import Wanted

ABC = b"X:1\nT:Warm\nM:4/4\nL:1/4\nK:G\nGABG|GABG|\n"

TRIES = """
import socket, sys
from reedwright.desk import limited
limited.warm()
limited.limit(limited.MEMORY_BYTES, limited.SECONDS)
{}
"""


def tried(code: str) -> str:
    """The last line of what happens when a child under these limits tries something."""
    done = subprocess.run(
        [sys.executable, "-c", TRIES.format(code)], capture_output=True, text=True, check=False
    )
    assert done.returncode != 0
    return done.stderr.strip().splitlines()[-1] if done.stderr.strip() else str(done.returncode)


def test_the_child_answers() -> None:
    told = limited(Wanted("x.abc", harps="C, low D"), ABC)
    assert told["fit"]["melody"]["title"] == "Warm"
    taken = limited(Wanted("x.abc", choice=1), ABC)
    assert taken["text"].startswith("Title: Warm\nHarp: ")


@pytest.mark.parametrize(
    ("wanted", "words"),
    [
        (Wanted("x.abc", harps="Q"), "'Q' is not a harp"),
        (Wanted("x.abc", position="99"), "99"),
        (Wanted("x.abc", student="wizard"), "a level nobody knows"),
        (Wanted("x.abc", part="x"), "a part that is no number"),
        (Wanted("x.abc", tempo="fast"), "tempo 'fast'"),
        (Wanted("x.abc", tempo="60, 80"), "several tempos"),
        (Wanted("x.abc", choice=50), "no choice 50"),
    ],
)
def test_wrong_wishes_are_told(wanted: Wanted, words: str) -> None:
    assert words in limited(wanted, ABC)["error"]["found"]


def test_it_opens_no_file_and_no_address() -> None:
    assert "Too many open files" in tried("open('/etc/passwd')")
    assert "Too many open files" in tried("socket.socket()")


def test_its_memory_and_time_are_bounded() -> None:
    assert "MemoryError" in tried("x = bytearray(limited.MEMORY_BYTES)")
    code = "limited.limit(limited.MEMORY_BYTES, 1)\nwhile True: pass"
    assert tried(code).startswith("-")  # ended by a signal


def test_a_child_that_ends_is_a_refusal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "executable", "/bin/false")
    with pytest.raises(DeskError, match="cannot be read within limits"):
        limited(Wanted("x.abc"), ABC)


def test_what_it_says_fits_a_tune_beside_it(tmp_path: Path) -> None:
    """A tune that names a file beside it is no melody here: nothing is opened."""
    (tmp_path / "own.toml").write_text("", encoding="utf-8")
    tune = b"Title: T\nHarp: C\nTuning: own.toml\nPosition: first\n\nLick A\n1: 4b . . .\n"
    assert "own.toml" in limited(Wanted("x.reed"), tune)["error"]["found"]
