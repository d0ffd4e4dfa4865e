"""MP3 encoded in pieces of fixed length, so that an edit encodes anew only the pieces it touched.

How: every piece is encoded by itself with some sound before and after it (the encoder listens back
and ahead); its frames are cut out and joined with those of its neighbours, where both have chosen
the same block types for two frames, so that the windows of the transform still overlap as they
must. The pieces' limits depend on nothing but their place, so the same sound gives the same bytes
whatever was kept. Where two pieces do not agree, the sound is encoded whole. Measured against one
whole encoding: tests/sound/test_mp3pieces.py, docs/sound.md.

The file opens with the encoder's own frame about it (frames, bytes, seek table, delay and padding,
checksums), which is written anew. Sources: ISO/IEC 11172-3; the tag as LAME's own text describes it
(Info/Xing header, CRC-16 with polynomial 0x8005, reflected).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from reedwright.kernels import kernel
from reedwright.sound.mp3frames import FRAME, Frame, channels_of, first_size, frames, packed
from reedwright.sound.signal import Samples, SoundError

PIECE = 192
"""Frames of a piece, 4.6 s: short, so that an edit costs little; overlap adds a tenth."""

LEAD, TAIL = 12, 6
"""Frames encoded before and after a piece: the encoder's masking reaches some tenths of a second
back (from memory), and its windows one frame ahead."""

_SEARCH = (0, -1, 1, -2, 2, -3, 3, -4)
"""Where two pieces may be joined, in frames from their border."""

_TAG_AT = {1: 21, 2: 36}
_FRAMES, _BYTES, _TABLE, _LAME = 8, 12, 16, 120
_DELAYS, _MUSIC_BYTES, _MUSIC_CRC, _TAG_CRC = _LAME + 21, _LAME + 28, _LAME + 32, _LAME + 34

Encode = Callable[[Samples], bytes]
"""Gives an MP3 file, its tag first, of samples."""


def in_pieces(sound: Samples, encode: Encode) -> bytes:
    """An MP3 file of samples at 48 kHz, (samples,) or (samples, 2). Errors: SoundError."""
    starts = range(0, max(1, len(sound) // FRAME - PIECE // 2), PIECE)
    if len(starts) < 2:
        return encode(sound)
    files = [encode(_piece(sound, start, start == starts[-1])) for start in starts]
    bodies = [frames(file[first_size(file) :]) for file in files]
    joined = _joined(bodies)
    stream = None if joined is None else packed(joined)
    if joined is None or stream is None:
        return encode(sound)
    tag = bytearray(files[0][: first_size(files[0])])
    return _tagged(tag, files[-1], stream, len(joined))


def _piece(sound: Samples, start: int, last: bool) -> Samples:
    first = max(0, start - LEAD) * FRAME
    return sound[first:] if last else sound[first : (start + PIECE + TAIL) * FRAME]


def _joined(bodies: Sequence[list[Frame]]) -> list[Frame] | None:
    """The frames of all pieces in one row; None where two neighbours nowhere agree."""
    out: list[Frame] = []
    for number, body in enumerate(bodies):
        if not number:
            out += body[: PIECE + TAIL]
            continue
        begin = number * PIECE - LEAD  # the frame of the file that this body begins with
        cut = _cut(out, body, number * PIECE, begin)
        if cut is None:
            return None
        last = number == len(bodies) - 1
        out[cut:] = body[cut - begin : None if last else LEAD + PIECE + TAIL]
    return out


def _cut(before: Sequence[Frame], after: Sequence[Frame], border: int, begin: int) -> int | None:
    """The frame from which on the later piece is taken."""
    for shift in _SEARCH:
        at = border + shift
        if all(before[one].shapes == after[one - begin].shapes for one in (at - 1, at)):
            return at
    return None


def _tagged(tag: bytearray, last: bytes, stream: bytes, count: int) -> bytes:
    """The stream with its tag; delay and padding at the end are those of the last piece."""
    at = _TAG_AT[channels_of(int.from_bytes(tag[:4], "big"))]
    if bytes(tag[at : at + 4]) not in (b"Xing", b"Info") or tag[at + 7] != 0x0F:
        raise SoundError("mp3", "the encoder's own frame is not where it should be")
    whole = len(tag) + len(stream)
    _write(tag, at + _FRAMES, count, 4)
    _write(tag, at + _BYTES, whole, 4)
    tag[at + _TABLE : at + _TABLE + 100] = _seek_table(stream, len(tag), count)
    tag[at + _DELAYS : at + _DELAYS + 3] = last[at + _DELAYS : at + _DELAYS + 3]
    _write(tag, at + _MUSIC_BYTES, whole, 4)
    _write(tag, at + _MUSIC_CRC, crc16(np.frombuffer(stream, np.uint8)), 2)
    _write(tag, at + _TAG_CRC, crc16(np.frombuffer(bytes(tag), np.uint8)[: at + _TAG_CRC]), 2)
    return bytes(tag) + stream


def _seek_table(stream: bytes, before: int, count: int) -> bytes:
    """For each hundredth of the time, where it lies in the file, in 256ths."""
    places, at = [], 0
    while at < len(stream):
        places.append(before + at)
        at += first_size(stream[at:])
    whole = before + len(stream)
    return bytes(min(255, 256 * places[count * part // 100] // whole) for part in range(100))


def _write(tag: bytearray, at: int, value: int, size: int) -> None:
    tag[at : at + size] = value.to_bytes(size, "big")


@kernel()
def crc16(data: NDArray[np.uint8]) -> int:
    """CRC-16, polynomial 0x8005, reflected, start 0."""
    value = np.uint16(0)
    for byte in data:
        value = np.uint16(value ^ np.uint16(byte))
        for _ in range(8):
            odd = value & np.uint16(1)
            value = np.uint16(value >> np.uint16(1))
            if odd:
                value = np.uint16(value ^ np.uint16(0xA001))
    return int(value)
