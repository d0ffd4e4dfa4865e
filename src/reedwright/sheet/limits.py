"""How much one printed sheet may hold, so that time and memory stay bounded whatever is asked for.

Only what is engraved is bounded here; text, MIDI and MusicXML grow with the tune alone.
"""

from __future__ import annotations

from reedwright.errors import SheetError
from reedwright.tune.place import Score

MAX_BARS = 500
"""Forty choruses of twelve bars: 30 pages and more. Measured: a pack of 1,000 bars, 6,000 sounds,
takes 18 s and 480 MB on two slow cores, and both grow evenly with the bars."""

MAX_SOUNDS = 5_000
"""Ten sounds in each bar; measured with MAX_BARS."""


def refuse_endless(score: Score) -> None:
    """Say so before a sheet is begun that would take minutes. Errors: SheetError."""
    sounds = len(score.events)
    if score.bars <= MAX_BARS and sounds <= MAX_SOUNDS:
        return
    raise SheetError(
        f"{score.tune.title}: {score.bars:,} bars and {sounds:,} sounds are too many to print. "
        f"A printed sheet has at most {MAX_BARS:,} bars and {MAX_SOUNDS:,} sounds. "
        "Mend: play fewer choruses, or divide the tune; text, MIDI and MusicXML have no such bound."
    )
