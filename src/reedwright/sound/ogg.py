"""The same bytes from the same sound: an Ogg stream gets a serial number of its content's own.

An encoder draws the serial number by lot, so that streams can be chained. Here it follows from the
title and the sound instead; every page's checksum is worked out anew. Source: RFC 3533 (page
layout; CRC-32 with polynomial 0x04c11db7, not reflected, start 0).
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from reedwright.kernels import kernel
from reedwright.sound.signal import SoundError

Bytes = NDArray[np.uint8]

_HEADER, _SERIAL, _CHECKSUM, _LACES = 27, 14, 22, 26


def with_serial(stream: bytes, serial: int) -> bytes:
    """The stream with this serial number on every page. Errors: SoundError for no Ogg stream."""
    out = bytearray(stream)
    at = 0
    while at < len(out):
        if out[at : at + 4] != b"OggS" or at + _HEADER > len(out):
            raise SoundError("ogg", f"no page at byte {at}")
        laces = out[at + _LACES]
        end = at + _HEADER + laces + sum(out[at + _HEADER : at + _HEADER + laces])
        out[at + _SERIAL : at + _SERIAL + 4] = serial.to_bytes(4, "little")
        out[at + _CHECKSUM : at + _CHECKSUM + 4] = bytes(4)
        checksum = int(crc(np.frombuffer(out, np.uint8)[at:end], table()))
        out[at + _CHECKSUM : at + _CHECKSUM + 4] = checksum.to_bytes(4, "little")
        at = end
    return bytes(out)


@cache
def table() -> NDArray[np.uint32]:
    """The checksum of every byte by itself."""
    rows = []
    for byte in range(256):
        value = byte << 24
        for _ in range(8):
            value = (value << 1) ^ (0x04C11DB7 if value & 0x80000000 else 0)
        rows.append(value & 0xFFFFFFFF)
    return np.array(rows, np.uint32)


@kernel()
def crc(page: Bytes, rows: NDArray[np.uint32]) -> int:
    """The checksum of a page whose own checksum is 0."""
    value = np.uint32(0)
    for byte in page:
        value = np.uint32((value << np.uint32(8)) ^ rows[(value >> np.uint32(24)) ^ byte])
    return int(value)
