"""Samples and levels of one take through two rigs; ``python -m tests.amp.golden`` writes them anew.

Only together with a new `RECIPE` in `reedwright.amp.rig`, since recordings are kept under it.
"""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np

from reedwright.amp.chain import amplified
from reedwright.amp.read import default_rig
from reedwright.amp.rig import RECIPE, Rig
from tests.amp.signals import RATE_HZ

FILE = Path(__file__).with_name("golden.json")
EVERY = 997  # samples between two that are kept


def rigs() -> dict[str, Rig]:
    """The default rig, and it with every effect on."""
    rig = default_rig()
    wet = replace(
        rig,
        tremolo=replace(rig.tremolo, depth_percent=40.0),
        echo=replace(rig.echo, share_percent=30.0),
        spring=replace(rig.spring, share_percent=20.0),
    )
    return {"default": rig, "wet": wet}


def made() -> dict[str, object]:
    """What is compared: the recipe and, for each rig, every so many samples, in millionths."""
    time_s = np.arange(RATE_HZ) / RATE_HZ
    dry = 0.3 * np.sin(2 * np.pi * 220 * time_s) * np.abs(np.sin(2 * np.pi * 3 * time_s))
    dry += 0.1 * np.sin(2 * np.pi * 1031 * time_s)
    cup = np.clip(2 * time_s - 0.5, 0, 1)
    takes = {
        name: amplified(dry.astype(np.float32), cup.astype(np.float32), rig)[::EVERY]
        for name, rig in rigs().items()
    }
    samples = {name: [round(float(x) * 1e6) for x in take] for name, take in takes.items()}
    return {"recipe": RECIPE, "millionths": samples}


if __name__ == "__main__":
    FILE.write_text(json.dumps(made()) + "\n", encoding="utf-8")
