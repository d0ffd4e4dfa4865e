"""Our own tunes, printed as MusicXML and MIDI, are read back as the melodies they are."""

from __future__ import annotations

from pathlib import Path

import pytest

from reedwright.fit.fromtune import reading_of_tune
from reedwright.fit.sources import read_melody
from reedwright.tune.load import load_tune
from tests.cli.runs import DEMO, inside


@pytest.mark.parametrize("suffix", ["musicxml", "mid"])
@pytest.mark.parametrize("tune", DEMO, ids=lambda path: path.stem)
def test_printed_and_read_back(
    tune: Path, suffix: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / f"x.{suffix}"
    assert inside(capsys, "sheet", str(tune), "-o", str(target)).code == 0
    told = reading_of_tune(load_tune(tune)).melody
    reading = read_melody(target.read_bytes(), target.name)
    melody = reading.melody
    assert reading.sure == 1.0
    moved = {a.start - b.start for a, b in zip(melody.notes, told.notes, strict=True)}
    assert len(moved) == 1
    assert moved.pop() % told.meter.beats == 0  # MIDI cannot tell a long pickup from a bar
    assert [note.top for note in melody.notes] == [note.top for note in told.notes]
    assert (melody.meter, melody.tempo_bpm) == (told.meter, told.tempo_bpm)
    assert melody.feel.ratio == told.feel.ratio
    if suffix == "musicxml":
        assert [note.length for note in melody.notes] == [note.length for note in told.notes]
        assert (melody.key, melody.minor) == (told.key, told.minor)
        assert melody.bars == told.bars
