"""MP3 in pieces: joined they sound like one whole encoding, and an edit touches few of them."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import soundfile
from hypothesis import given
from hypothesis import strategies as st

from reedwright.sound.cache import Store
from reedwright.sound.encode import decode, delivered, encode
from reedwright.sound.formats import Format
from reedwright.sound.mp3frames import FRAME, RESERVOIR, Frame, first_size, frames, packed, sizes
from reedwright.sound.mp3pieces import LEAD, PIECE, TAIL, crc16, in_pieces
from reedwright.sound.signal import RATE_HZ, Samples, SoundError
from reedwright.sound.tags import Tags

TAGS = Tags("T", "B", "A", "C", 90)
STEREO_HEAD = 0xFFFB0404


def whole(sound: Samples) -> bytes:
    """One encoding of everything, by the library."""
    out = io.BytesIO()
    soundfile.write(
        out,
        sound,
        RATE_HZ,
        "MPEG_LAYER_III",
        format="MP3",
        bitrate_mode="VARIABLE",
        compression_level=0.2,
    )
    return out.getvalue()


def music(seconds: float, channels: int, seed: int = 1) -> Samples:
    """Notes, knocks, noise and silence by lot."""
    draw = np.random.default_rng(seed)
    time_s = np.arange(round(seconds * RATE_HZ))[:, None] / RATE_HZ
    sound = np.zeros((len(time_s), channels))
    for _ in range(round(seconds * 4)):
        at = draw.uniform(0, seconds)
        tone = np.sin(2 * np.pi * draw.uniform(100, 4000) * time_s + draw.uniform(0, 6, channels))
        sound += 0.1 * tone * np.exp(-((time_s - at) ** 2) / draw.uniform(1e-3, 0.3))
        start = round(at * RATE_HZ)
        size = len(sound[start : start + 300])
        sound[start : start + size] += 0.3 * draw.standard_normal((size, channels))
    mixed = sound.astype(np.float32)
    return mixed if channels == 2 else mixed[:, 0].copy()


def error_db(heard: Samples, sound: Samples) -> float:
    return float(10 * np.log10(np.mean((heard.astype(float) - sound) ** 2) + 1e-20))


@pytest.mark.parametrize("channels", [1, 2])
@pytest.mark.parametrize("seed", range(3))
def test_joined_pieces_are_as_near_to_the_sound_as_one_encoding(channels: int, seed: int) -> None:
    sound = music(18.3, channels, seed)
    one, joined = decode(whole(sound)), decode(in_pieces(sound, whole))
    assert joined.shape == sound.shape
    assert error_db(joined, sound) < error_db(one, sound) + 0.2
    for piece in range(1, len(sound) // (PIECE * FRAME)):
        near = slice(piece * PIECE * FRAME - 5 * FRAME, piece * PIECE * FRAME + 5 * FRAME)
        assert error_db(joined[near], sound[near]) < error_db(one[near], sound[near]) + 1.0


def test_pieces_lie_where_they_do_whatever_is_heard() -> None:
    asked: list[int] = []

    def counted(piece: Samples) -> bytes:
        asked.append(len(piece))
        return whole(piece)

    in_pieces(music(20, 1), counted)
    middle = (LEAD + PIECE + TAIL) * FRAME
    assert asked[0] == middle - LEAD * FRAME
    assert asked[1:-1] == [middle] * 2


def test_an_edit_encodes_only_the_pieces_it_touches(tmp_path: Path) -> None:
    store = Store(tmp_path)
    sound = np.clip(music(20, 2), -0.2, 0.2)  # so flat that no limiter works
    made: list[str] = []

    def keep(key: str, make: Callable[[], bytes]) -> bytes:
        def noted() -> bytes:
            made.append(key)
            return make()

        return store.piece(key, noted)

    first = delivered(sound, Format.MP3, TAGS, keep)
    assert first.data == delivered(sound, Format.MP3, TAGS).data
    assert first.limited_db == 0
    count = len(made)
    delivered(sound, Format.MP3, TAGS, keep)
    assert len(made) == count
    edited = sound.copy()
    edited[12 * RATE_HZ : 12 * RATE_HZ + 4_800] *= np.float32(0.97)
    again = delivered(edited, Format.MP3, TAGS, keep)
    assert 1 <= len(made) - count <= 2
    assert again.data == delivered(edited, Format.MP3, TAGS).data


@pytest.mark.parametrize("channels", [1, 2])
def test_frames_repacked_decode_to_the_same_samples(channels: int) -> None:
    file = whole(music(6, channels))
    tag = first_size(file)
    found = frames(file[tag:])
    stream = packed(found)
    assert stream is not None
    assert frames(stream) == found
    assert len(stream) <= len(file)
    assert np.array_equal(decode(file[:tag] + stream), decode(file))


@given(st.lists(st.integers(0, 1400), min_size=1, max_size=60))
def test_any_sizes_of_main_data_come_back_or_are_refused(lengths: list[int]) -> None:
    """Sizes may only be refused where even full slots and a full reservoir cannot carry them."""
    found = [framed(length, number) for number, length in enumerate(lengths)]
    stream = packed(found)
    reserve, possible = 0, True
    for length in lengths:  # with every slot as large as can be
        possible = possible and length <= sizes(2)[-1] + reserve
        reserve = min(RESERVOIR, reserve + sizes(2)[-1] - length)
    assert (stream is not None) == possible
    if stream is not None:
        assert frames(stream) == found


def framed(length: int, number: int) -> Frame:
    """A frame whose side information claims so many bytes, all of one value."""
    bits = 8 * length
    parts = [min(4095, bits - 4095 * part) if bits > 4095 * part else 0 for part in range(4)]
    value = 0
    for part in parts:
        value = value << 59 | part << 47
    side = value.to_bytes(32, "big")  # 20 bits of pointer and sharing, then 4 granules of 59
    return Frame(STEREO_HEAD, side, bytes([number % 256]) * length, (0, 0, 0, 0))


def test_what_is_no_stream_of_ours_is_refused() -> None:
    good = whole(music(1, 2))
    for bad in (b"\0" * 500, good[:-10], good[1:], b"ID3" + good):
        with pytest.raises(SoundError, match="mp3"):
            frames(bad)


def test_the_tag_is_whole() -> None:
    """Checksums, sizes and the seek table, worked out here anew from the finished file."""
    for channels, at in ((1, 21), (2, 36)):
        file = encode(music(15, channels), Format.MP3, TAGS)
        file = file[file.index(b"\xff\xfb") :]
        size = first_size(file)
        assert file[at : at + 4] in (b"Xing", b"Info")
        number = int.from_bytes
        assert number(file[at + 8 : at + 12], "big") == len(frames(file[size:]))
        assert number(file[at + 12 : at + 16], "big") == len(file)
        assert number(file[at + 152 : at + 154], "big") == plain_crc16(file[size:])
        assert number(file[at + 154 : at + 156], "big") == plain_crc16(file[: at + 154])
        table = list(file[at + 16 : at + 116])
        assert table == sorted(table)


def plain_crc16(data: bytes) -> int:
    value = 0
    for byte in data:
        value ^= byte
        for _ in range(8):
            value = value >> 1 ^ (0xA001 if value & 1 else 0)
    return value


def test_the_checksum_of_the_handbook() -> None:
    """CRC-16/ARC of "123456789" is 0xBB3D (catalogues of checksums, common practice)."""
    assert crc16(np.frombuffer(b"123456789", np.uint8)) == 0xBB3D
