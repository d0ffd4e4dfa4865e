"""Compile every number loop that recordings need, once, before threads share the work.

Conventions: takes some seconds on a machine that has never done it, a fraction of one afterwards.
"""

from __future__ import annotations

import gc
from functools import cache

import numpy as np

from reedwright.amp import prepare as amp
from reedwright.band import prepare as band
from reedwright.sound.level import limit
from reedwright.sound.loudness import true_peak_dbtp
from reedwright.sound.mp3pieces import crc16
from reedwright.sound.ogg import crc, table
from reedwright.voice import prepare as voice
from reedwright.voice.cup import acoustic


@cache
def prepare() -> None:
    """Everything is ready after this; asked again, it does nothing."""
    voice.prepare()
    amp.prepare()
    band.prepare()
    sound = np.ones((64, 2), np.float32)
    limit(sound.copy(), -6.0)
    true_peak_dbtp(sound)
    acoustic(sound[:, 0].copy(), sound[:, 0].copy())
    crc(np.zeros(4, np.uint8), table())
    crc16(np.zeros(4, np.uint8))
    gc.freeze()  # the compiler's many objects stay; looking through them again costs 0.1 s a time
