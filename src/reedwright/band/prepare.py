"""Compiling the band's loops once, before any pool of workers starts."""

from __future__ import annotations

import numpy as np

from reedwright.band.instruments.note import Notes
from reedwright.band.instruments.values import RINGS_OUT, NoteKey
from reedwright.band.play import add_stroke
from reedwright.band.strokes import Stroke

ONE_OF_EACH = (
    Stroke(NoteKey("drums", 36, 2, 0, 0), 0.0, 0.7, RINGS_OUT),
    Stroke(NoteKey("upright", 40, 2, 0, 1), 0.0, 0.7, 0.1),
    Stroke(NoteKey("organ", 60, 0, 0, 1), 0.0, 0.7, 0.1),
)
"""Together these need every kernel."""


def prepare() -> None:
    """Compile; quick once the compiled loops are kept on disk."""
    mix = np.zeros((16, 2), np.float32)
    for stroke in ONE_OF_EACH:
        add_stroke(mix, stroke, 0, Notes())
