"""A pack's folder after kill -9 at every step: the old pack whole, or the new one after a mend."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from reedwright.pack.folder import BUILDING, READY, opened
from tests.pack.folders import files_in, hidden, untrue
from tests.pack.test_folder import NEW, OLD, put

KILLED = """\
import os, signal, sys
from pathlib import Path
from reedwright.pack.folder import opened
from tests.pack.folders import replace
from tests.pack.test_folder import NEW

folder, left = Path(sys.argv[1]), int(sys.argv[2])
STEPS = {"open", "os.mkdir", "os.rename", "os.remove", "os.rmdir"}

def step(name, args):
    global left
    if name in STEPS and str(folder) in str(args[0]):
        left -= 1
        if left < 0:
            os.kill(os.getpid(), signal.SIGKILL)

sys.addaudithook(step)
with opened(folder):
    replace(folder, NEW)
"""
ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.slow
def test_kill_at_every_step(tmp_path: Path) -> None:
    """kill -9 before each call that touches the folder: the old pack whole, or the new one after
    the next run; nothing of the user's lost; no leftovers."""
    step, outcomes = 0, set()
    for step in range(200):
        folder = tmp_path / str(step)
        put(folder, OLD)
        (folder / "notes.txt").write_bytes(b"mine")
        (folder / "sheet.pdf").write_bytes(b"my pencil marks")
        done = subprocess.run(
            [sys.executable, "-c", KILLED, str(folder), str(step)], cwd=ROOT, check=False
        )
        committed = (folder / READY).exists()
        if done.returncode == 0:
            break
        assert done.returncode == -9
        if not committed and (folder / BUILDING).exists():
            assert untrue(folder) == ["sheet.pdf"]  # the user's marks, as before
        with opened(folder):
            pass  # any later run mends first
        after = files_in(folder)
        new = after["tune.reed"] == NEW["tune.reed"]
        assert new or not committed
        outcomes.add(new)
        assert hidden(folder) == []
        assert after["notes.txt"] == b"mine"
        assert b"my pencil marks" in after.values()
        assert untrue(folder) == ([] if new else ["sheet.pdf"])
        assert set(after) - {"notes.txt", "sheet.kept.pdf", "pack.json"} == set(NEW if new else OLD)
    assert step > 15  # it was killed at many steps
    assert outcomes == {True, False}
