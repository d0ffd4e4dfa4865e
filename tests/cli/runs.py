"""Running the command line as a user does: in a process of its own, or quickly inside this one."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest

from reedwright.cli.main import main

ROOT = Path(__file__).resolve().parents[2]
DEMO = sorted((ROOT / "demo").glob("*.reed"))
TIMEOUT_S = 60  # a hang, on a machine however busy

SMALL = """\
Title: Small
Harp: C
Position: second

Lick Call
1: 2d 3d' 4d 4b
"""


@dataclass(frozen=True, slots=True)
class Ran:
    """How a run ended."""

    code: int
    out: str
    err: str


def environment(**extra: str) -> dict[str, str]:
    """This process's environment without what colours or debugs."""
    dropped = {"NO_COLOR", "REEDWRIGHT_DEBUG", "PYTHONIOENCODING", "FORCE_COLOR"}
    return {key: value for key, value in os.environ.items() if key not in dropped} | extra


def command(*words: str) -> list[str]:
    return [sys.executable, "-m", "reedwright", *words]


def run(
    *words: str,
    stdin: bytes = b"",
    env: Mapping[str, str] | None = None,
    cwd: Path | None = None,
    limit_bytes: int = 0,
) -> Ran:
    """A run in a process of its own. `limit_bytes`: no file may grow beyond, as on a full disk."""
    done = subprocess.run(
        command(*words),
        input=stdin,
        capture_output=True,
        timeout=TIMEOUT_S,
        check=False,
        env=environment(**(env or {})),
        cwd=cwd,
        preexec_fn=_limit(limit_bytes) if limit_bytes else None,
    )
    out, err = (text.decode("utf-8", "replace") for text in (done.stdout, done.stderr))
    return Ran(done.returncode, out, err)


def _limit(size: int):  # type: ignore[no-untyped-def]  # noqa: ANN202
    def limit() -> None:
        import resource

        resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))

    return limit


def inside(capsys: pytest.CaptureFixture[str], *words: str) -> Ran:
    """The same without a new process."""
    capsys.readouterr()
    code = main(list(words))
    captured = capsys.readouterr()
    return Ran(code, captured.out, captured.err)
