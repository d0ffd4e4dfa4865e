"""`reedwright play`: the bars asked for, as a file or through a device."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
import soundfile

from reedwright.cli.loudspeaker import frames
from tests.cli.runs import DEMO, SMALL, inside


@pytest.fixture
def tune(tmp_path: Path) -> Path:
    path = tmp_path / "small.reed"
    path.write_text(SMALL + "2: 2d = = =\n", encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("words", "beats"),
    [((), 8), (("--bars", "2"), 4), (("--bars", "1-2", "--no-band"), 8), (("--lick", "Call"), 8)],
)
def test_the_bars_asked_for_are_written(
    words: tuple[str, ...], beats: int, tune: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tune.with_suffix(".wav")
    done = inside(capsys, "play", str(tune), *words, "--tempo", "120", "-o", str(out))
    assert (done.code, done.err) == (0, "")
    samples, rate = soundfile.read(io.BytesIO(out.read_bytes()))
    assert (rate, len(samples)) == (48_000, beats * 24_000)
    assert np.abs(samples).max() > 0.05


def test_the_amplifier_sounds_otherwise(tune: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plain, amplified = tune.with_name("a.wav"), tune.with_name("b.wav")
    assert inside(capsys, "play", str(tune), "--no-band", "-o", str(plain)).code == 0
    words = ("play", str(tune), "--no-band", "--amplified", "-o", str(amplified))
    assert inside(capsys, *words).code == 0
    assert plain.read_bytes() != amplified.read_bytes()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("-o", "a.mp3"), "'a.mp3' must end in .wav."),
        (("--bars", "0"), "--bars lies between 1 and 2."),
        (("--bars", "2-1"), "--bars lies between 1 and 2."),
        (("--bars", "1-9"), "--bars lies between 1 and 2."),
        (("--bars", "a-b"), "--bars is a bar or two with a - between, like 5-8."),
        (("--lick", "Cal"), "no lick 'Cal'; there are Call."),
    ],
)
def test_wrong_words(
    words: tuple[str, ...], told: str, tune: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    done = inside(capsys, "play", str(tune), *words)
    assert (done.code, done.out, done.err) == (2, "", f"reedwright play: {told}\n")


def test_a_tune_with_errors_is_not_played(tune: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tune.write_text(SMALL.replace("3d'", "5d'"), encoding="utf-8")
    assert inside(capsys, "play", str(tune), "-o", str(tune.with_suffix(".wav"))).code == 1
    assert not tune.with_suffix(".wav").exists()


def test_a_device_gets_every_frame_once_and_then_silence() -> None:
    sound = np.arange(20, dtype=np.float32).reshape(10, 2)
    feed = frames(sound)
    next(feed)
    got = b"".join(feed.send(count) for count in (4, 4, 4, 4))
    heard = np.frombuffer(got, np.float32).reshape(-1, 2)
    assert np.array_equal(heard[:10], sound)
    assert not heard[10:].any()
    assert len(heard) == 16


def test_variations_are_proposed(capsys: pytest.CaptureFixture[str]) -> None:
    tune = next(path for path in DEMO if path.stem == "the-ferry-was-late")
    done = inside(capsys, "vary", str(tune), "--lick", "Answer", "--count", "2")
    assert (done.code, done.err) == (0, "")
    assert done.out.count("   1: ") == 2
    wrong = inside(capsys, "vary", str(tune), "--lick", "Nobody")
    assert wrong.code == 2
    assert wrong.err.startswith("no lick 'Nobody' is placed in this tune.")


def test_a_level_is_written_to_a_new_file_only(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tune = next(path for path in DEMO if path.stem == "lantern-street")
    out = tmp_path / "easy.reed"
    words = ("vary", str(tune), "--level", "beginner", "-o", str(out))
    assert inside(capsys, *words).code == 0
    assert inside(capsys, "check", str(out)).code == 0
    before = out.read_bytes()
    again = inside(capsys, *words)
    assert (again.code, out.read_bytes()) == (2, before)
    assert "is there already" in again.err
    printed = inside(capsys, "vary", str(tune), "--level", "beginner")
    assert printed.out.encode() == before
    assert inside(capsys, "vary", str(tune), "--lick", "Rain", "-o", "x").code == 2
