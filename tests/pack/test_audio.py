"""Recordings in a pack: named, listed with how they were made, made again only after a change."""

from __future__ import annotations

import hashlib
import io
import json
import os
import signal
import subprocess
import sys
import time
from fractions import Fraction
from pathlib import Path

import pytest
import soundfile

from reedwright.amp.rig import RECIPE as AMP_RECIPE
from reedwright.errors import FileError, HarpError, SettingError
from reedwright.pack.audio import recordings
from reedwright.pack.choices import Audio, Choices
from reedwright.pack.pack import Packed, pack
from reedwright.pack.recipes import AUDIO_RECIPES
from reedwright.sound.facts import RECIPES
from reedwright.tune.place import place
from reedwright.tune.read import read_tune
from tests.pack.folders import files_in, manifest_of, untrue

ROOT = Path(__file__).resolve().parents[2]
PLAYING = "3871"  # see test_how_it_is_played_has_a_number_too

TUNE = """\
Title: Small Talk
By: the test band
Harp: C
Position: second
Tempo: 120
Form: G7 | C7

Lick Call
1: 2d&3d 4d 3d' 2d
2: 1+2b 1+2b 2b .
"""
ONE = Audio(("wav",))


@pytest.fixture
def tune(tmp_path: Path) -> Path:
    path = tmp_path / "small.reed"
    path.write_text(TUNE, encoding="utf-8")
    return path


def packed(tune: Path, audio: Audio = ONE, **other: object) -> Packed:
    return pack(tune, tune.parent / "pack", Choices(audio=audio, **other))  # type: ignore[arg-type]


def audio_of(folder: Path) -> dict[str, bytes]:
    return {name: data for name, data in files_in(folder).items() if name.startswith("audio/")}


def test_every_recording_is_there_and_true(tune: Path) -> None:
    done = packed(tune)
    folder = tune.parent / "pack"
    assert untrue(folder) == []
    names = {name.removeprefix("audio/") for name in audio_of(folder)}
    assert names == {
        "demo-120.wav", "demo-amplified-120.wav", "backing-120.wav", "practice-120.wav",
        "drone-120.wav", "click-120.wav",
        "lick-call-alone-120.wav", "lick-call-band-120.wav", "lick-call-loop-120.wav",
    }  # fmt: skip
    assert set(done.files) >= {"audio/demo-120.wav", "band.mid", "sheet.pdf"}
    for row in manifest_of(folder)["files"]:
        if not row["path"].startswith("audio/"):
            assert "made" not in row
            continue
        made = row["made"]
        with soundfile.SoundFile(io.BytesIO((folder / row["path"]).read_bytes())) as file:
            assert (file.samplerate, len(file)) == (48_000, made["samples"])
        assert made["tempo_bpm"] == "120"
        assert made["seed"] == 0
        assert abs(made["lufs"] + 16) <= 0.5
        assert made["true_peak_dbtp"] <= -1


def test_what_is_fresh_is_not_made_and_an_edit_keeps_what_it_does_not_touch(tune: Path) -> None:
    packed(tune)
    folder = tune.parent / "pack"
    before = audio_of(folder)
    assert packed(tune).moved is None
    tune.write_text(TUNE.replace("2b .", "2b 1b"), encoding="utf-8")
    again = packed(tune)
    assert again.moved is not None
    same = {name for name, data in audio_of(folder).items() if before[name] == data}
    assert same == {"audio/backing-120.wav", "audio/click-120.wav", "audio/drone-120.wav"}
    assert set(again.moved.same) >= same


@pytest.mark.parametrize(
    "changed",
    [
        Audio(("wav",), seed=1),
        Audio(("flac",)),
        Audio(("wav",), harps=("A",)),
        Audio(("wav",), stems=True),
        Audio(),
    ],
    ids=["seed", "format", "harps", "stems", "none"],
)
def test_any_change_of_choices_makes_it_again(changed: Audio, tune: Path) -> None:
    folder = tune.parent / "pack"
    packed(tune)
    before = set(audio_of(folder))
    again = packed(tune, changed)
    assert again.moved is not None
    assert untrue(folder) == []
    after = set(audio_of(folder))
    if changed.harps:
        assert {name for name in after if "-on-a" in name}
        assert before < after
    elif changed.stems:
        assert before < after
    elif not changed.formats:
        assert after == set()
        assert not (folder / "audio").exists()
    elif changed.formats == ("flac",):
        assert after == {name.replace(".wav", ".flac") for name in before}
    assert packed(tune, changed).moved is None


def test_one_tempo_only(tune: Path) -> None:
    score = place(read_tune(TUNE))
    planned = recordings(score, Choices(tempo_bpm=Fraction(70), audio=ONE))
    assert {recording.tempo_bpm for recording in planned} == {70}
    assert recordings(score, Choices()) == ()


def test_an_amp_file_is_part_of_what_it_is_made_from(tune: Path) -> None:
    amp = tune.parent / "mine.amp"
    amp.write_text('name = "mine"\n', encoding="utf-8")
    chosen = Audio(("wav",), amp=amp)
    packed(tune, chosen)
    amp.write_text('name = "mine"\n[preamp]\ngain_db = 3\n', encoding="utf-8")
    assert packed(tune, chosen).moved is not None


@pytest.mark.parametrize(
    ("audio", "error"),
    [
        (Audio(("wav",), harps=("H",)), HarpError),
        (Audio(harps=("H",)), HarpError),
        (Audio(("wav",), harps=("C",) * 13), SettingError),
        (Audio(("wav",), style="polka"), SettingError),
        (Audio(("wav",), amp=Path("no such.amp")), FileError),
        (Audio(("wav",), soundfont=Path("no such.sf2")), FileError),
    ],
    ids=["harp", "harp unrecorded", "harps", "style", "amp", "soundfont"],
)
def test_a_wrong_choice_leaves_no_pack(audio: Audio, error: type[Exception], tune: Path) -> None:
    with pytest.raises(error, match=r"Mend: |at most"):
        packed(tune, audio)
    assert not (tune.parent / "pack").exists()


def test_a_tune_of_rests_has_the_band_and_the_clicks(tune: Path) -> None:
    tune.write_text(TUNE.partition("1: ")[0] + "1: . . . .\n", encoding="utf-8")
    packed(tune)
    names = {Path(name).stem for name in audio_of(tune.parent / "pack")}
    assert names == {"backing-120", "click-120", "drone-120"}


@pytest.mark.slow
def test_killed_in_the_middle_it_goes_on_where_it_was(tune: Path, tmp_path: Path) -> None:
    folder, store = tmp_path / "pack", tmp_path / "store"
    environment = os.environ | {"REEDWRIGHT_CACHE": str(store)}
    words = [sys.executable, "-m", "reedwright", "pack", str(tune), "-o", str(folder)]
    run = subprocess.Popen([*words, "--audio", "wav"], env=environment, cwd=ROOT)
    until = time.monotonic() + 60
    while not list(folder.rglob("audio/*.wav")) and run.poll() is None:
        assert time.monotonic() < until
        time.sleep(0.02)
    run.send_signal(signal.SIGKILL)
    run.wait()
    assert list(store.rglob("*"))
    assert not (folder / "pack.json").exists()
    done = subprocess.run([*words, "--audio", "wav"], env=environment, cwd=ROOT, check=False)
    assert done.returncode == 0
    assert untrue(folder) == []
    assert sorted(path.name for path in folder.iterdir() if path.name.startswith(".")) == []


def test_the_numbers_of_the_rooms_are_those_of_the_pack() -> None:
    known = {name: number for name, number in AUDIO_RECIPES.items() if name in RECIPES}
    assert known == RECIPES
    assert AUDIO_RECIPES["amp"] == AMP_RECIPE
    assert set(AUDIO_RECIPES) - set(RECIPES) == {"amp", "playing"}


def test_how_it_is_played_has_a_number_too() -> None:
    """The golden of playing moves only with a new number here, and its first four figures."""
    golden = json.loads((ROOT / "tests/performance/golden.json").read_text(encoding="utf-8"))
    mark = hashlib.sha256(json.dumps(golden, sort_keys=True).encode()).hexdigest()[:4]
    assert (AUDIO_RECIPES["playing"], mark) == (1, PLAYING)


def test_a_store_that_cannot_be_written_is_told(
    tune: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "store").write_bytes(b"a file in its place")
    monkeypatch.setenv("REEDWRIGHT_CACHE", str(tmp_path / "store"))
    done = packed(tune)
    assert untrue(tune.parent / "pack") == []
    assert len(done.remarks) == 1
    assert done.remarks[0].startswith("nothing is kept for the next time: ")
