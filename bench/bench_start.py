"""Start-up: `reedwright --version` against a bare `python -c pass`, and a pack with nothing to do.

Whole processes, started one after the other and in turns, so that a busy moment hits both alike.
"""

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from bench.row import Gate, Row

ROUNDS = 21
_TUNE = Path(__file__).resolve().parent.parent / "demo" / "the-ferry-was-late.reed"
_SCRIPT = Path(sys.executable).with_name("reedwright")


def run() -> list[Row]:
    """The version through the console script and through `-m`; an unchanged pack."""
    with tempfile.TemporaryDirectory() as folder:
        bare = [sys.executable, "-c", "pass"]
        module = [sys.executable, "-m", "reedwright"]
        packing = [*module, "pack", str(_TUNE), "-o", folder]
        _ms(packing)
        commands = [bare, [str(_SCRIPT), "--version"], [*module, "--version"], packing]
        times = [[_ms(command) for command in commands] for _ in range(ROUNDS)]
    bare_ms, script_ms, module_ms, pack_ms = map(statistics.median, zip(*times, strict=True))
    against = {"baseline": bare_ms, "baseline_what": "python -c pass"}
    return [
        Row("reedwright --version", script_ms, Gate.RATIO_AT_MOST, 3.0, **against),
        Row("python -m reedwright --version", module_ms, Gate.RATIO_AT_MOST, 3.0, **against),
        Row("pack of an unchanged tune, start included", pack_ms, Gate.AT_MOST, 300.0),
    ]


def _ms(command: list[str]) -> float:
    started_s = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return 1000.0 * (time.perf_counter() - started_s)
