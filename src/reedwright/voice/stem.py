"""The harp of a whole performance, dry at the lips.

Conventions: float32 (samples,), as long as the performance; a tail that would outlast it is cut
with a short fade. A medium note lies at -20 dBFS RMS.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from reedwright.performance.playing import Played
from reedwright.voice.render import Samples, render
from reedwright.voice.segments import segments
from reedwright.voice.values import SAMPLE_HZ, Segment

LAST_FADE = 480  # samples


def voice_stem(played: Played, *, rendered: Callable[[Segment], Samples] = render) -> Samples:
    """The dry harp; `rendered` may take a segment's samples from a store instead."""
    stem = np.zeros(round(played.performance.length_s * SAMPLE_HZ), dtype=np.float32)
    for segment in segments(played):
        add(stem, rendered(segment), segment.start_sample)
    return stem


def add(stem: Samples, sound: Samples, start: int) -> None:
    """Puts a sound into a stem; what does not fit is cut and fades."""
    room = len(stem) - start
    if room <= 0:
        return
    if room < len(sound):
        fade = min(LAST_FADE, room)
        sound = sound[:room].copy()
        sound[room - fade :] *= np.linspace(1, 0, fade, dtype=np.float32)
    stem[start : start + len(sound)] += sound
