"""Sound to the machine's own loudspeaker, through miniaudio where it is installed.

Conventions: float32 (samples, 2) at 48 kHz. Ctrl-C stops it.
"""

from __future__ import annotations

import os
import time
from collections.abc import Generator, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from reedwright.sound.signal import Samples

RATE_HZ = 48_000
_AFTER_S = 0.3  # what the device still holds when the last samples are handed over


def played(sound: Samples) -> str:
    """Play to the end; why it cannot be, empty when it was."""
    import miniaudio

    try:
        with _quiet():
            device = miniaudio.PlaybackDevice(
                output_format=miniaudio.SampleFormat.FLOAT32, nchannels=2, sample_rate=RATE_HZ
            )
    except miniaudio.MiniaudioError as error:
        return str(error)
    feed = frames(sound)
    next(feed)
    try:
        device.start(feed)
        time.sleep(len(sound) / RATE_HZ + _AFTER_S)
    except miniaudio.MiniaudioError as error:
        return str(error)
    finally:
        device.close()
    return ""


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep the system's own sound library from talking past us on standard error."""
    kept, nowhere = os.dup(2), os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 2)
        yield
    finally:
        os.dup2(kept, 2)
        os.close(kept)
        os.close(nowhere)


def frames(sound: Samples) -> Generator[bytes, int, None]:
    """As many frames as the device asks for each time, then silence."""
    wanted = yield b""
    at = 0
    while True:
        part = sound[at : at + wanted]
        at += wanted
        wanted = yield part.tobytes() + bytes((wanted - len(part)) * 8)
