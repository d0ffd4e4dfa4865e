"""Which notes the chamber model plays: looked up, never tried.

Conventions: see `kinds`; the pressure that counts is the median of the sounding part.
"""

from __future__ import annotations

from reedwright.performance.playing import Curve
from reedwright.voice.values import Hole


def played_by_model(hole: Hole, cents: Curve, breath: Curve) -> bool:
    """Whether a hole by itself, at such pitches and breaths, is one that the model starts."""
    import numpy as np

    from reedwright.voice.kinds import kind_of
    from reedwright.voice.levels import pressures

    sounding = np.array(breath.values)
    strongest = sounding[sounding > 0.5 * sounding.max()] if sounding.max() > 0 else sounding
    pressure = float(pressures(np.median(strongest, keepdims=True))[0])
    return kind_of(hole).models(hole.closing_hz, (min(cents.values), max(cents.values)), pressure)
