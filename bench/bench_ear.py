"""The student's page listening: the tracker in node, against the time its sound lasts.

A frame has to be read well inside the 2.7 ms of a render quantum to leave the audio thread its
time; the tracker's share of real time is what a student's phone pays. Empty where node is not
installed.
"""

import json
import shutil
import subprocess

import reedwright
from bench.row import Gate, Row

_SECONDS = 20.0
_TIMES = 5.0  # of real time, at least: a phone is a few times slower than a desk
_PROGRAM = """
const { track } = await import(process.argv[1]);
const x = new Float32Array(48000 * 20);
for (let i = 0; i < x.length; i++) x[i] = 0.1 * (Math.sin(i * 0.05) + Math.sin(i * 0.1 + 1));
track(x.subarray(0, 96000), 48000);
const begun = performance.now();
track(x, 48000);
console.log(JSON.stringify(performance.now() - begun));
"""


def run() -> list[Row]:
    """Twenty seconds of a tone with a strong overtone, after a warm-up."""
    node = shutil.which("node")
    if node is None:
        return []
    tracker = f"{reedwright.__path__[0]}/page/web/ear/tracker.js"
    command = [node, "--input-type=module", "-e", _PROGRAM, tracker]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    return [
        Row(
            "ear, pitch of 20 s in node",
            float(json.loads(done.stdout)),
            Gate.FASTER_AT_LEAST,
            _TIMES,
            baseline=1000 * _SECONDS,
            baseline_what="real time",
        )
    ]
