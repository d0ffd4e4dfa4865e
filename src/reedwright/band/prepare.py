"""Compiling the band's loops once, before any pool of workers starts."""

from __future__ import annotations

import numpy as np

from reedwright.band.instruments.kernels import add_note
from reedwright.band.instruments.note import note_in_room
from reedwright.band.instruments.values import NoteKey

ONE_OF_EACH = (
    NoteKey("drums", 36, 2, 0, 0),
    NoteKey("upright", 40, 2, 0, 5),
    NoteKey("organ", 60, 2, 0, 5),
)
"""Together these need every kernel."""


def prepare() -> None:
    """Compile; quick once the compiled loops are kept on disk."""
    mix = np.zeros((16, 2), np.float32)
    for key in ONE_OF_EACH:
        add_note(mix, note_in_room(key), 0, 1.0)
