"""How a few segments sound, kept: ``python -m tests.voice.golden`` writes voice.json anew.

Conventions: level of each 20 ms in dBFS, and of thirds of octaves over the whole, to a tenth of a
decibel: bytes may differ from one processor to another, these may not. When they move, RECIPE has
to go up, so that nobody is given old samples for new ones.
"""

import json
from pathlib import Path

import numpy as np

from reedwright.voice.render import render
from reedwright.voice.segments import segments
from reedwright.voice.values import RECIPE, SAMPLE_HZ
from tests.voice.builders import played
from tests.voice.measures import dbfs

KEPT = Path(__file__).with_name("voice.json")
FRAME = SAMPLE_HZ // 50
CELLS = ("4d", "2d''", "//3d", "6bo", "10b'", "4dv", "1+4b", "4x5d", "1>4d", "4ds", "4df", "3d\\")
THIRDS_HZ = 125.0 * 2 ** (np.arange(19) / 3)


def heard(cell: str) -> dict[str, list[float]]:
    """Levels in time and in frequency of one gesture."""
    (segment,) = segments(played(f"1: . {cell} = .", harp="A", tempo=100, manner="loud"))
    sound = render(segment)
    frames = [sound[start : start + FRAME] for start in range(0, len(sound) - FRAME, FRAME)]
    power = np.abs(np.fft.rfft(sound)) ** 2
    hertz = np.fft.rfftfreq(len(sound), 1 / SAMPLE_HZ)
    sums = [power[(hertz >= low) & (hertz < low * 2 ** (1 / 3))].sum() for low in THIRDS_HZ]
    return {
        "frames_dbfs": [round(dbfs(frame), 1) for frame in frames],
        "thirds_db": [round(float(10 * np.log10(max(value, 1e-3))), 1) for value in sums],
    }


def main() -> None:
    kept = {"recipe": RECIPE, "cells": {cell: heard(cell) for cell in CELLS}}
    KEPT.write_text(json.dumps(kept, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
