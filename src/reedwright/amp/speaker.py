"""The speaker: what its cone passes on.

Conventions: volts in, volts that are heard out (a gain of about 1 in the middle). Below the
resonance it falls by 12 dB an octave, above the high cut by 24; between them stands one broad rise.
Sources: from memory, as is the width of the rise. The peak is an RBJ-type bell (public formulas of
the Audio EQ Cookbook).
"""

from __future__ import annotations

import numpy as np
from scipy.signal import butter

from reedwright.amp.finite import RATE_HZ, Floats
from reedwright.amp.kernels import cascade
from reedwright.amp.rig import amplitude
from reedwright.amp.values import Speaker

PRESENCE_HZ = 2_500.0
_PRESENCE_Q = 0.9
_RESONANCE_Q = 1.1


class Cone:
    """The speaker as a filter that goes on from block to block."""

    __slots__ = ("_sections", "_state")

    def __init__(self, speaker: Speaker) -> None:
        self._sections = sections(speaker)
        self._state = np.zeros((len(self._sections), 2))

    def __call__(self, samples: Floats) -> Floats:
        return cascade(samples, self._sections, self._state)


def sections(speaker: Speaker) -> Floats:
    """The speaker as second-order sections at the plain rate."""
    falls = butter(4, speaker.high_cut_hz, "lowpass", fs=RATE_HZ, output="sos")
    rise = _bell(PRESENCE_HZ, speaker.presence_db)
    return np.vstack([_resonance(speaker.resonance_hz), rise, falls])


def _bell(hz: float, gain_db: float) -> Floats:
    turn = 2 * np.pi * hz / RATE_HZ
    width, lift = np.sin(turn) / (2 * _PRESENCE_Q), amplitude(gain_db / 2)
    row = np.array([
        1 + width * lift, -2 * np.cos(turn), 1 - width * lift,
        1 + width / lift, -2 * np.cos(turn), 1 - width / lift,
    ])  # fmt: skip
    return np.asarray(row / row[3])


def _resonance(hz: float) -> Floats:
    turn = 2 * np.pi * hz / RATE_HZ
    width, cosine = np.sin(turn) / (2 * _RESONANCE_Q), np.cos(turn)
    row = np.array([
        (1 + cosine) / 2, -(1 + cosine), (1 + cosine) / 2,
        1 + width, -2 * cosine, 1 - width,
    ])  # fmt: skip
    return np.asarray(row / row[3])
