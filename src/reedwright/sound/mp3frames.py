"""Layer III frames taken apart and put together again, so that a file can be joined from pieces.

Conventions: MPEG-1 Layer III at 48 kHz without checksums, as our encoder writes it. A frame's main
data may begin up to 511 bytes before its header, in the frames before (the bit reservoir): a frame
taken apart holds its own main data, and `packed` gives frames the smallest slots that carry it.
`shapes`: the block type of each granule and channel (0 long, 1 start, 2 short, 3 stop).
Source: ISO/IEC 11172-3 (frame header, side information, main data pointer).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from reedwright.sound.signal import SoundError

FRAME = 1_152
"""Samples of a frame."""

RESERVOIR = 511
"""The farthest that main data may begin before its frame, in bytes."""

_KBIT_PER_S = (0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320)
_HEAD = 4
_SIDE = {1: 17, 2: 32}
_GRANULE_BITS = 59
_SYNC_LAYER_RATE = 0xFFFB_0400  # sync, MPEG-1, Layer III, no checksum, 48 kHz
_SYNC_LAYER_RATE_MASK = 0xFFFF_0C00
_PADDED = 0x200


@dataclass(frozen=True, slots=True)
class Frame:
    """One frame: `head` without bit rate, `side` without the pointer to its main data."""

    head: int
    side: bytes
    main: bytes
    shapes: tuple[int, ...]


def sizes(channels: int) -> tuple[int, ...]:
    """Bytes of main data that a frame can carry, by index of its bit rate (0 is none)."""
    taken = _HEAD + _SIDE[channels]
    return tuple(3 * rate - taken if rate else 0 for rate in _KBIT_PER_S)


def first_size(data: bytes) -> int:
    """Bytes of the frame at the start. Errors: SoundError for anything else."""
    return _size(_head(data, 0))


def frames(data: bytes) -> list[Frame]:
    """Every frame of a stream, with its main data. Errors: SoundError."""
    found, slots = [], bytearray()
    at = 0
    while at < len(data):
        head = _head(data, at)
        channels = channels_of(head)
        body, end = at + _HEAD + _SIDE[channels], at + _size(head)
        side = data[at + _HEAD : body]
        begin, bits, shapes = _said(side, channels)
        start = len(slots) - begin
        slots += data[body:end]
        main = bytes(slots[start : start + (bits + 7) // 8]) if start >= 0 else b""
        if len(main) != (bits + 7) // 8:
            raise SoundError("mp3", f"the frame at byte {at} points outside the file")
        clean = bytes([0, side[1] & 0x7F]) + side[2:]
        found.append(Frame(head & ~0xF200, clean, main, shapes))
        at = end
    return found


def packed(found: Sequence[Frame]) -> bytes | None:
    """Frames as a stream, each in the smallest slot that does; None where none does."""
    if not found:
        return b""
    capacities = sizes(channels_of(found[0].head))
    owed = _owed(found, capacities[-1])
    if owed[0] > 0:
        return None
    heads, slots, spare = [], bytearray(), 0
    for frame, after in zip(found, owed[1:], strict=True):
        least = len(frame.main) + after - spare
        index = next(i for i in range(1, 15) if capacities[i] >= least)
        heads.append((index, spare))
        slots += frame.main
        spare += capacities[index] - len(frame.main)
        if spare > RESERVOIR:
            slots += bytes(spare - RESERVOIR)
            spare = RESERVOIR
    slots += bytes(spare)
    return b"".join(_streamed(found, heads, slots, capacities))


def _owed(found: Sequence[Frame], most: int) -> list[int]:
    """Before each frame, and after the last: bytes the reservoir must hold at least."""
    owed = [0]
    for frame in reversed(found):
        owed.append(max(0, len(frame.main) + owed[-1] - most))
    owed.reverse()
    too_much = any(one > RESERVOIR for one in owed)
    return [1, *owed[1:]] if too_much else owed


def _streamed(
    found: Sequence[Frame],
    heads: Sequence[tuple[int, int]],
    slots: bytearray,
    capacities: Sequence[int],
) -> Iterator[bytes]:
    at = 0
    for frame, (index, spare) in zip(found, heads, strict=True):
        yield (frame.head | index << 12).to_bytes(_HEAD, "big")
        yield bytes([spare >> 1, frame.side[1] | (spare & 1) << 7]) + frame.side[2:]
        yield bytes(slots[at : at + capacities[index]])
        at += capacities[index]


def _said(side: bytes, channels: int) -> tuple[int, int, tuple[int, ...]]:
    """Of the side information: where main data begins, how many bits it has, and the shapes."""
    value, bits = int.from_bytes(side, "big"), 8 * len(side)

    def part(at: int, size: int) -> int:
        return value >> (bits - at - size) & ((1 << size) - 1)

    granule = 9 + (3 if channels == 2 else 5) + 4 * channels
    total, shapes = 0, []
    for _ in range(2 * channels):
        total += part(granule, 12)
        shapes.append(part(granule + 34, 2) if part(granule + 33, 1) else 0)
        granule += _GRANULE_BITS
    return part(0, 9), total, tuple(shapes)


def channels_of(head: int) -> int:
    """1 or 2, by a frame's header."""
    return 1 if head >> 6 & 3 == 3 else 2


def _head(data: bytes, at: int) -> int:
    head = int.from_bytes(data[at : at + _HEAD], "big")
    plain = head & _SYNC_LAYER_RATE_MASK == _SYNC_LAYER_RATE and not head & _PADDED
    if not plain or not 0 < head >> 12 & 15 < len(_KBIT_PER_S):
        raise SoundError("mp3", f"no frame of our own kind at byte {at}")
    if at + _size(head) > len(data):
        raise SoundError("mp3", f"the frame at byte {at} is cut short")
    return head


def _size(head: int) -> int:
    return 3 * _KBIT_PER_S[head >> 12 & 15]  # 144 · rate / 48 kHz
