"""The child process that opens a SoundFont: a file somebody brings is never decoded in ours.

Conventions: run as a program by itself, with nothing of this package. Its input is the length of a
request (8 bytes, big-endian), the request (JSON) and the font's bytes; its output float32, left and
right in turn, one part after another. Before it looks at the font it gives up the right to open
files and sockets, and all but a measured share of memory and time. Exit statuses are the STATUS_
words below; 0 when all is written.
"""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tinysoundfont import Synth

STATUS_NO_LIBRARY = 3
STATUS_NOT_A_FONT = 4
STATUS_NO_PRESET = 5

BLOCK = 4096
"""Samples rendered at most in one go."""

DRUM_CHANNEL = 9
"""Counted from 0 (General MIDI)."""

MOST_VOICES = 128
"""Samples sounding at once in one part; a piano chord with its tails needs 40 (from memory)."""


def limit(memory_bytes: int, seconds: int) -> None:
    """Give up what decoding does not need; systems without such limits go without."""
    try:
        import resource
    except ImportError:
        return
    wanted = (
        (resource.RLIMIT_AS, memory_bytes),
        (resource.RLIMIT_CPU, seconds),
        (resource.RLIMIT_FSIZE, 0),
        (resource.RLIMIT_NOFILE, 0),
        (resource.RLIMIT_CORE, 0),
    )
    for what, most in wanted:
        _, hard = resource.getrlimit(what)
        most = most if hard == resource.RLIM_INFINITY else min(most, hard)  # noqa: PLW2901
        resource.setrlimit(what, (most, most))


def main() -> int:
    try:
        from tinysoundfont import Synth
    except ImportError:
        return STATUS_NO_LIBRARY
    size = int.from_bytes(sys.stdin.buffer.read(8), "big")
    request = json.loads(sys.stdin.buffer.read(size))
    limit(request["memory_bytes"], request["seconds"])
    font = sys.stdin.buffer.read()
    synth = Synth(samplerate=request["rate_hz"])
    try:
        number = synth.sfload(font, max_voices=MOST_VOICES)
    except RuntimeError:
        return STATUS_NOT_A_FONT
    del font
    for part in request["parts"]:
        bank = 128 if part["drums"] else 0
        if synth.sfpreset_name(number, bank, part["program"]) is None:
            sys.stderr.write(f"bank {bank}, program {part['program'] + 1}")
            return STATUS_NO_PRESET
    for part in request["parts"]:
        _play(synth, number, part)
    sys.stdout.buffer.flush()
    return 0


def _play(synth: Synth, number: int, part: dict[str, Any]) -> None:
    """One part, and silence after it."""
    bank, channel = (128, DRUM_CHANNEL) if part["drums"] else (0, 0)
    synth.program_select(channel, number, bank, part["program"], part["drums"])
    synth.control_change(channel, 7, 127)
    synth.control_change(channel, 10, part["pan"])
    now = 0
    for at, key, velocity in part["events"]:
        _write(synth, at - now)
        now = at
        if velocity:
            synth.noteon(channel, key, velocity)
        else:
            synth.noteoff(channel, key)
    _write(synth, part["samples"] - now)
    synth.sounds_off(channel)
    synth.generate(2 * BLOCK)


def _write(synth: Synth, samples: int) -> None:
    """So many samples further."""
    while samples > 0:
        count = min(samples, BLOCK)
        sys.stdout.buffer.write(synth.generate(count))
        samples -= count


if __name__ == "__main__":
    sys.exit(main())
