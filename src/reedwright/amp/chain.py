"""The whole way of the sound: cup, microphone, preamp, power stage, speaker, echo, springs, room.

Conventions: the dry harp and the cup line in, mono samples out, all 48 kHz; what comes out is as
long as what went in and in step with it. A sine at the rated power peaks at FULL_POWER; clipped
waves, the speaker's rise and the room come on top. A take that would exceed CEILING is turned down
as a whole, so nothing reaches 0 dBFS. The recordings match loudness later.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from reedwright.amp.echo import with_echo
from reedwright.amp.finite import SignalError, Sound, finite, mono
from reedwright.amp.oversample import DELAY, Down, Up
from reedwright.amp.pickup import Capsule, Hands
from reedwright.amp.rig import Rig
from reedwright.amp.space import in_space
from reedwright.amp.speaker import Cone
from reedwright.amp.valves import PowerStage, PreampStage

BLOCK = 1_024
"""Samples at a time; a stage's work stays in the processor's cache. Does not change the samples."""

FULL_POWER = 0.3
"""A design figure: the loudest playing through the default rig stays below 0 dBFS by itself."""

CEILING = 0.98
"""The largest sample that can come out."""


def amplified(dry: Sound, cup: Sound, rig: Rig) -> Sound:
    """The harp through the rig: float32, shape (samples,), every sample within `CEILING`.

    Args:
        dry: the harp at the lips, shape (samples,); medium notes about -20 dBFS RMS, full scale 1.
        cup: openness of the hands, 0 closed to 1 open, one figure a sample.

    Errors: SignalError.
    """
    if mono(dry, "input").shape != mono(cup, "cup").shape:
        raise SignalError("cup", f"{len(cup)} samples of hands for {len(dry)} of sound")
    driven = finite(_driven(dry, cup, rig), "speaker")
    driven *= np.float32(FULL_POWER / rig.power.headroom_v)
    heard = around(driven, rig)
    most = float(max(heard.max(initial=0.0), -heard.min(initial=0.0)))
    if most > CEILING:
        heard *= np.float32(CEILING / most)
    return finite(heard, "room")


def around(samples: Sound, rig: Rig) -> Sound:
    """The speaker's sound with echo, springs and room."""
    return in_space(with_echo(samples, rig.echo), rig.spring, rig.room)


def blocks(dry: Sound, cup: Sound) -> Iterator[tuple[Sound, Sound]]:
    """The sound and the hands in blocks, longer by what oversampling is late."""
    sound = np.concatenate([dry, np.zeros(DELAY)], dtype=np.float32)
    hands = np.concatenate([cup, np.full(DELAY, cup[-1])], dtype=np.float32)
    for start in range(0, len(sound), BLOCK):
        yield sound[start : start + BLOCK], hands[start : start + BLOCK]


def _driven(dry: Sound, cup: Sound, rig: Rig) -> Sound:
    """What the speaker gives, in volts."""
    out = np.empty(len(dry) + DELAY if len(dry) else 0, np.float32)
    hands, capsule, up = Hands(rig.cup), Capsule(rig.microphone), Up()
    preamp, power, down = PreampStage(rig.preamp), PowerStage(rig.power, rig.tremolo), Down()
    cone, done = Cone(rig.speaker), 0
    for sound, openness in blocks(dry, cup) if len(dry) else ():
        volts = cone(down(power(preamp(up(capsule(hands(sound, openness)))))))
        out[done : done + len(volts)] = volts
        done += len(volts)
    return out[DELAY:]
