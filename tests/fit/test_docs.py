"""docs/fit.md tells the weights, limits and thresholds as they are."""

from __future__ import annotations

from pathlib import Path

from reedwright.fit.abcbook import MAX_ABC_BYTES, MAX_TUNES
from reedwright.fit.answer import MAX_LOOKED
from reedwright.fit.choices import MAX_TRIED
from reedwright.fit.effort import effort
from reedwright.fit.lines import CLOSE, MAX_READ_NOTES
from reedwright.fit.midifile import MAX_MIDI_BYTES
from reedwright.fit.quantise import SPLITS, SPREAD
from reedwright.fit.reading import FAIRLY, SURE
from reedwright.fit.safexml import MAX_FILES, MAX_RATIO, MAX_XML_BYTES

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "fit.md").read_text(encoding="utf-8")


def test_every_weight() -> None:
    weights = effort()
    for part in (weights.note, weights.move, weights.harp):
        for name, value in part.items():
            assert f"{name} {value:.12g}" in PAGE or f"{name} {value}" in PAGE, name
    for name, value in weights.tuning.items():
        assert f"{'any other' if name == 'other' else name} {value}" in PAGE, name


def test_limits_and_thresholds() -> None:
    assert (MAX_TRIED, MAX_LOOKED, CLOSE) == (1000, 8, 0.25)
    assert (MAX_XML_BYTES, MAX_RATIO, MAX_FILES) == (8_000_000, 200, 100)
    assert (MAX_MIDI_BYTES, MAX_ABC_BYTES, MAX_TUNES) == (1_000_000, 2_000_000, 5000)
    assert f"at most {MAX_READ_NOTES:,} notes" in PAGE
    assert f"From {SURE} on it says *sure*, from {FAIRLY} *fairly sure*" in PAGE
    assert f"over {SPREAD} beats" in PAGE
    assert list(SPLITS.items()) == [(1, 0.0), (2, 1.0), (3, 2.5), (4, 2.5), (6, 5.0)]
