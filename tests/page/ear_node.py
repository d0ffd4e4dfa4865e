"""Runs the ear's pure modules in node on sounds made here.

Conventions: sounds float32 at the rate given, handed over as raw files in a folder of the test.
"""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

import reedwright

EAR = Path(reedwright.__file__).parent / "page" / "web" / "ear"
NODE = shutil.which("node")
_READ = (
    "import { readFileSync } from 'node:fs';"
    "const sound = (path) => { const raw = readFileSync(path);"
    " return new Float32Array(raw.buffer, raw.byteOffset, raw.length / 4).slice(); };"
)


def node(module: str, body: str, given: object) -> Any:  # noqa: ANN401 - JSON
    """The value of some JavaScript over a module `m`, a value `given` and `sound(path)`."""
    program = (
        f"import * as m from {json.dumps((EAR / module).as_uri())}; {_READ}"
        "let text = ''; for await (const part of process.stdin) text += part;"
        f"const given = JSON.parse(text); console.log(JSON.stringify((() => {{{body}}})()));"
    )
    done = subprocess.run(
        [str(NODE), "--input-type=module", "-e", program],
        input=json.dumps(given),
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def kept(folder: Path, name: str, sound: ArrayLike) -> str:
    """The path of a sound written for node."""
    path = folder / f"{name}.f32"
    np.asarray(sound, dtype=np.float32).tofile(path)
    return str(path)


def tracked(paths: list[str], rate_hz: int, options: object = None) -> list[list[dict[str, Any]]]:
    """Readings of each sound."""
    body = (
        "return given.paths.map((path) => m.track(sound(path), given.rate, given.options ?? {}));"
    )
    given = {"paths": paths, "rate": rate_hz, "options": options}
    found: list[list[dict[str, Any]]] = node("tracker.js", body, given)
    return found
