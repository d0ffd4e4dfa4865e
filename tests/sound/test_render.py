"""Rendering: in order, the same bytes every time, resumed, only what an edit touched."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from reedwright.errors import SettingError, TuneError
from reedwright.harp.harp import harp_named
from reedwright.sound import render as rendering
from reedwright.sound.cache import Store
from reedwright.sound.encode import Encoded, Keep, decode, delivered
from reedwright.sound.formats import Format
from reedwright.sound.recordings import Kind, Recording, not_made, plan
from reedwright.sound.render import File, Setup, Studio, render
from reedwright.sound.signal import SoundError
from reedwright.sound.tags import Tags
from reedwright.tune.place import Score
from tests.sound.tunes import BODY, score_of

SCORE = score_of()
FEW = {Kind.DEMONSTRATION, Kind.CLICK, Kind.LICK}


def few(score: Score = SCORE) -> tuple[Recording, ...]:
    return tuple(one for one in plan(score) if one.kind in FEW)


def made(score: Score, store: Store, kinds: tuple[Format, ...] = (Format.OGG,)) -> list[File]:
    return list(render(score, few(score), kinds, Setup(store, workers=2)))


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[File]]:
    folder = tmp_path_factory.mktemp("store")
    return folder, made(SCORE, Store(folder))


def test_files_come_in_order_and_say_how_they_were_made(kept: tuple[Path, list[File]]) -> None:
    _, files = kept
    assert [file.path for file in files] == [
        "audio/demo-200.ogg",
        "audio/click-200.ogg",
        "audio/lick-call-alone-200.ogg",
        "audio/lick-train-alone-200.ogg",
    ]
    for file in files:
        told = json.loads(json.dumps(file.made))
        heard = decode(file.data)
        assert told["samples"] == len(heard)
        assert told["lufs"] == pytest.approx(-16, abs=0.5)
        assert told["true_peak_dbtp"] <= -1
        assert told["tempo_bpm"] == "200"
        assert (told["seed"], told["opening_s"], told["encoder_delay_samples"]) == (0, 0.0, 0)
        assert told["count_in_s"] == pytest.approx(1.2)
    assert files[3].made["tune_offset_s"] == pytest.approx(-2.4)
    assert files[0].made["harp"] == SCORE.tune.harp.as_json()


def test_an_unchanged_tune_is_read_from_the_store(
    kept: tuple[Path, list[File]], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, files = kept
    monkeypatch.setattr(rendering, "delivered", None)  # would fail if it were asked
    again = made(SCORE, Store(folder))
    assert [(file.path, file.data, file.made) for file in again] == [
        (file.path, file.data, file.made) for file in files
    ]


def test_the_same_bytes_without_a_store(kept: tuple[Path, list[File]]) -> None:
    again = made(SCORE, Store(None))
    assert [file.data for file in again] == [file.data for file in kept[1]]


def test_an_edit_makes_only_what_it_touches(
    kept: tuple[Path, list[File]], monkeypatch: pytest.MonkeyPatch
) -> None:
    edited = score_of(BODY.replace("1+2b 1+2d .", "1+2b 1+2b ."))
    asked = []
    own = delivered

    def counted(mix: np.ndarray, kind: Format, tags: Tags, keep: Keep) -> Encoded:
        asked.append(tags)
        return own(mix, kind, tags, keep)

    monkeypatch.setattr(rendering, "delivered", counted)
    files = made(edited, Store(kept[0]))
    same = [a.data == b.data for a, b in zip(files, kept[1], strict=True)]
    assert same == [False, True, True, False]
    assert len(asked) == 2


def test_a_new_title_changes_the_tags_and_nothing_else(kept: tuple[Path, list[File]]) -> None:
    other = replace(SCORE, tune=replace(SCORE.tune, title="Other"))
    file = made(other, Store(kept[0]))[0]
    before = kept[1][0]
    assert file.data != before.data
    assert np.abs(decode(file.data) - decode(before.data)).max() < 1e-6


def test_progress_is_told_and_formats_are_made_once_each() -> None:
    told: list[tuple[int, int, str]] = []
    kinds = (Format.WAV, Format.FLAC, Format.WAV)
    setup = Setup(Store(None))
    for _ in render(SCORE, few()[1:2], kinds, setup, lambda *step: told.append(step)):
        pass
    assert told == [(1, 2, "audio/click-200.wav"), (2, 2, "audio/click-200.flac")]


def test_nothing_to_make() -> None:
    assert list(render(SCORE, (), (Format.MP3,), Setup(Store(None)))) == []


def test_stems_keep_their_levels(tmp_path: Path) -> None:
    stems = [one for one in plan(SCORE, stems=True) if one.part == "bass"]
    file = next(render(SCORE, stems, (Format.FLAC,), Setup(Store(tmp_path))))
    assert file.path == "audio/stem-bass-200.flac"
    assert file.made["gain_db"] == -6
    assert file.made["opening_s"] is None


def test_a_worker_that_fails_tells_why(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> np.ndarray:
        return np.full(20_000, np.nan, np.float32)

    monkeypatch.setattr("reedwright.sound.phrases.render", broken)
    with pytest.raises(SoundError, match="Sound, stage `voice`: sample"):
        made(SCORE, Store(None))


def test_notes_that_another_harp_lacks_are_named() -> None:
    bent = score_of("\nLick A\n1: 3d''' . . .\n")
    other = harp_named("C solo")
    recordings = [one for one in plan(bent, (), (other,)) if one.kind is Kind.DEMONSTRATION]
    with pytest.raises(TuneError, match="no 3d''' on the C solo"):
        list(render(bent, recordings, (Format.WAV,), Setup(Store(None))))


def test_what_is_not_made_is_said() -> None:
    assert not_made(SCORE) == ()
    plain = score_of("\nLick A\n1: 2d . . .\n", "Title: T\nHarp: C\nPosition: 2\nTempo: 90\n")
    assert not_made(plain) == (
        "no chord rhythm: no lick is mostly chords of two or more holes",
        "no trading: no sound of the harp falls into the student's bars",
        "no drone: the tune has no form",
    )


def test_a_recording_that_lasts_for_ever_is_refused() -> None:
    long = score_of(BODY + "\nChorus, 120 times\n1 Train\n")
    with pytest.raises(SettingError) as caught:
        plan(long, (20,))  # type: ignore[arg-type]
    assert str(caught.value) == (
        "488 bars at 20 last 98 minutes. A recording lasts 20 minutes at most. "
        "Mend: choose tempos from 98 up, or fewer choruses."
    )
    assert plan(long)


@pytest.mark.parametrize("tempo_bpm", [1, 1000])
def test_tempos_nobody_counts_are_refused(tempo_bpm: int) -> None:
    with pytest.raises(SettingError, match="tempo"):
        plan(SCORE, (tempo_bpm,))  # type: ignore[arg-type]


KILLED = """
from pathlib import Path
from reedwright.sound.cache import Store
from reedwright.sound.formats import Format
from reedwright.sound.recordings import plan
from reedwright.sound.render import Setup, render
from tests.sound.tunes import score_of
score = score_of()
for file in render(score, plan(score), (Format.OGG,), Setup(Store(Path({folder!r})))):
    print(file.path, flush=True)
"""


@pytest.mark.slow
def test_a_killed_run_is_gone_on_with(tmp_path: Path) -> None:
    source = KILLED.format(folder=str(tmp_path))
    with subprocess.Popen([sys.executable, "-c", source], stdout=subprocess.PIPE) as run:
        assert run.stdout is not None
        first = run.stdout.readline().decode().strip()
        run.kill()
    assert first == "audio/demo-200.ogg"
    store = Store(tmp_path)
    studio = Studio(SCORE, Setup(store))
    before_s = time.monotonic()
    studio.file(plan(SCORE)[0], Format.OGG)
    assert time.monotonic() - before_s < 1.0
    rest = list(render(SCORE, plan(SCORE), (Format.OGG,), Setup(store)))
    assert [file.path for file in rest] == [f"{one.name}.ogg" for one in plan(SCORE)]
    unfinished = [path for path in tmp_path.rglob(".new-*") if path.stat().st_size]
    assert all(time.time() - path.stat().st_mtime < 3_600 for path in unfinished)


def test_a_run_that_is_broken_off_gives_up_what_is_in_the_making() -> None:
    """Whoever stops asking is not kept waiting for whole files."""
    studio = rendering.Studio(SCORE, Setup(Store(None)))
    studio.stop()
    with pytest.raises(SoundError, match="broken off"):
        studio.file(few()[0], Format.MP3)
