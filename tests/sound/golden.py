"""What every recording of a small tune sounds like, kept as numbers.

`python -m tests.sound.golden` writes golden.json anew; do so only together with a new recipe number
of the stage that changed. Levels in tenths of a decibel, 100 ms each, so that another processor's
rounding does not matter.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np

from reedwright.sound.cache import Store
from reedwright.sound.facts import RECIPES
from reedwright.sound.recipe import placed_mix
from reedwright.sound.recordings import plan
from tests.sound.tunes import score_of, sources

PATH = Path(__file__).with_name("golden.json")
FLOOR = 1e-3
"""-60 dBFS: below this a tenth of a decibel may be rounding."""


def levels(samples: np.ndarray) -> list[int]:
    """The level of each tenth of a second, all channels together."""
    columns = samples.reshape(len(samples), -1).astype(float)
    whole = len(columns) // 4_800 * 4_800
    power = (columns[:whole] ** 2).sum(1).reshape(-1, 4_800).mean(1)
    return [round(100 * np.log10(max(value, FLOOR**2))) for value in power]


def measured() -> dict[str, dict[str, Any]]:
    """Recipes and levels as they are now."""
    score = score_of()
    made = sources(score)
    store = Store(None)
    sounds = {
        one.name: levels(placed_mix(one, made).mix.sound(store)) for one in plan(score, stems=True)
    }
    return {"recipes": RECIPES, "levels": sounds}


if __name__ == "__main__":
    PATH.write_text(json.dumps(measured()) + "\n", encoding="utf-8")
