"""Our files in the hands of decoders that are not ours: as long, in step, tagged, whole.

Sources: ffmpeg (skipped where it is not installed), miniaudio (no Opus), RFC 3533 for the checksum
of an Ogg page (worked out here bit by bit).
"""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import miniaudio
import numpy as np
import pytest

from reedwright.sound.encode import encode
from reedwright.sound.formats import Format
from reedwright.sound.tags import Tags

TAGS = Tags("Tïtle 日本", "A & B", "Album", "Harp in A, 92 beats a minute", 92)
needs_ffmpeg = pytest.mark.skipif(shutil.which("ffmpeg") is None, reason="ffmpeg is not installed")


def music(samples: int) -> np.ndarray:
    """Half a second of a noise burst every second, so that a shift is seen."""
    dice = np.random.default_rng(5)
    burst = (np.arange(samples) % 48_000 < 24_000)[:, None]
    tone = np.sin(2 * np.pi * 330 * np.arange(samples) / 48_000)[:, None]
    return (burst * (0.2 * tone + 0.02 * dice.standard_normal((samples, 2)))).astype(np.float32)


def shift(heard: np.ndarray, sound: np.ndarray) -> int:
    """By how many samples one lies behind the other."""
    size = 1 << 18
    product = np.fft.rfft(heard, size) * np.conj(np.fft.rfft(sound, size))
    at = int(np.argmax(np.fft.irfft(product)))
    return at if at < size // 2 else at - size


@needs_ffmpeg
@pytest.mark.parametrize("kind", Format)
@pytest.mark.parametrize("samples", [96_000, 97_001])
def test_ffmpeg_hears_the_same_length(kind: Format, samples: int, tmp_path: Path) -> None:
    path, sound = tmp_path / f"a.{kind.value}", music(samples)
    path.write_bytes(encode(sound, kind, TAGS))
    command = ["ffmpeg", "-v", "error", "-i", str(path), "-f", "f32le", "-ar", "48000", "pipe:1"]
    done = subprocess.run(command, capture_output=True, check=True)
    assert done.stderr == b""
    heard = np.frombuffer(done.stdout, np.float32).reshape(-1, 2)
    assert len(heard) == samples
    assert shift(heard[:, 0], sound[:, 0]) == 0


@needs_ffmpeg
@pytest.mark.parametrize("kind", Format)
def test_ffprobe_reads_the_tags(kind: Format, tmp_path: Path) -> None:
    path = tmp_path / f"a.{kind.value}"
    path.write_bytes(encode(music(48_000), kind, TAGS))
    command = ["ffprobe", "-v", "error", "-of", "json", "-show_entries", "format_tags:stream_tags"]
    said = json.loads(subprocess.run([*command, str(path)], capture_output=True, check=True).stdout)
    rows = [said["format"], *said["streams"]]
    tags = {name.lower(): text for row in rows for name, text in row.get("tags", {}).items()}
    assert tags["title"] == "Tïtle 日本"
    assert tags["artist"] == "A & B"
    assert tags["comment"] == "Harp in A, 92 beats a minute"
    assert kind is not Format.MP3 or tags["tbpm"] == "92"


@pytest.mark.parametrize("kind", [Format.MP3, Format.OGG, Format.FLAC, Format.WAV])
def test_miniaudio_hears_the_same_length(kind: Format) -> None:
    sound = music(97_001)
    heard = miniaudio.decode(
        encode(sound, kind, TAGS),
        output_format=miniaudio.SampleFormat.FLOAT32,
        nchannels=2,
        sample_rate=48_000,
    )
    assert heard.num_frames == 97_001
    assert shift(np.array(heard.samples, np.float32)[::2], sound[:, 0]) == 0


@pytest.mark.parametrize("kind", [Format.OGG, Format.OPUS])
def test_pages_of_ogg_have_one_serial_number_and_right_checksums(kind: Format) -> None:
    data = encode(music(30_000), kind, TAGS)
    at, serials = 0, set()
    while at < len(data):
        assert data[at : at + 4] == b"OggS"
        laces = data[at + 26]
        end = at + 27 + laces + sum(data[at + 27 : at + 27 + laces])
        page = data[at : at + 22] + bytes(4) + data[at + 26 : end]
        assert int.from_bytes(data[at + 22 : at + 26], "little") == checksum(page)
        serials.add(data[at + 14 : at + 18])
        at = end
    assert len(serials) == 1


def checksum(page: bytes) -> int:
    """CRC-32 of RFC 3533, one bit after the other."""
    value = 0
    for byte in page:
        value ^= byte << 24
        for _ in range(8):
            value = (value << 1) ^ (0x04C11DB7 if value >> 31 else 0)
            value &= 0xFFFFFFFF
    return value
