"""The examples of docs/commands.md: ``python -m tests.cli.docs`` writes their outputs anew.

In a block of kind `console` every line that begins with ``$`` is run by sh in a folder that holds
the demo tunes and the small files below; what it prints stands beneath it.
"""

from __future__ import annotations

import re
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.cli.runs import DEMO, ROOT, SMALL, TIMEOUT_S, environment

PAGE = ROOT / "docs" / "commands.md"
_BLOCK = re.compile(r"```console\n(.*?)```\n", re.DOTALL)
_FILES = {
    "broken.reed": SMALL.replace("3d'", "5d'"),
    "unreadable.reed": "Title: Oops\nHarp: H\nPosition: second\n\nLick Call\n1: 2d 3z 4d\n",
    "gate-song.abc": (
        "X:1\nT:Gate Song\nM:3/4\nL:1/4\nQ:1/4=96\nK:G\n"
        '"G"GBd|"C"e2d|"D"B2A|"G"G3|"G"GBd|"C"e2d|"D"BAF|"G"G3|]\n'
    ),
    "untidy.reed": SMALL.replace("1: 2d 3d' 4d 4b", "1:  2d  3d'   4d 4b   "),
}


def rewritten(page: str) -> str:
    """The page with every output as it is now."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        _furnish(folder)
        return _BLOCK.sub(lambda block: f"```console\n{_run(block[1], folder)}```\n", page)


def _furnish(folder: Path) -> None:
    (folder / ".bin").mkdir()
    script = folder / ".bin" / "reedwright"
    script.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m reedwright "$@"\n')
    script.chmod(0o755)
    for tune in DEMO:
        (folder / tune.name).write_bytes(tune.read_bytes())
    for name, text in _FILES.items():
        (folder / name).write_text(text)


def _run(block: str, folder: Path) -> str:
    commands = [line for line in block.splitlines() if line.startswith("$ ")]
    return "".join(f"{command}\n{_said(command[2:], folder)}" for command in commands)


def _said(command: str, folder: Path) -> str:
    env = environment(LC_ALL="C.UTF-8")
    env["PATH"] = f"{folder / '.bin'}:{env['PATH']}"
    done = subprocess.run(
        ["sh", "-c", command], cwd=folder, env=env, stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT, timeout=TIMEOUT_S, check=False, encoding="utf-8",
    )  # fmt: skip
    return done.stdout


if __name__ == "__main__":
    PAGE.write_text(rewritten(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
