"""From breath to pressure and to level.

Conventions: breath 0 to 1, 0.5 medium; pressure in that of a medium breath; levels as amplitude, 1
at full scale. A medium note lies at -20 dBFS RMS; 2.4 dB of level for each dB of breath puts soft
(0.34) at -28, loud (0.7) at -13. The pressure follows less, least above medium: a player's range
of pressure is narrower than of loudness, and a bend that is blown too hard breaks up. All from
memory, a design.
"""

from __future__ import annotations

import numpy as np

from reedwright.voice.chamber import Line

MEDIUM_BREATH = 0.5
MEDIUM_DBFS = -20.0
LEVEL_POWER = 2.4
PRESSURE_POWER = 0.6  # up to a medium breath
LOUD_POWER = 0.38  # above it


def pressures(breath: Line) -> Line:
    """Pressure of each breath."""
    share = np.maximum(breath, 0.0) / MEDIUM_BREATH
    return np.asarray(np.where(share < 1, share**PRESSURE_POWER, share**LOUD_POWER))


def breath_of(pressure: float) -> float:
    """The breath that gives a pressure."""
    power = PRESSURE_POWER if pressure < 1 else LOUD_POWER
    return float(MEDIUM_BREATH * pressure ** (1 / power))


def wanted_rms(breath: Line) -> Line:
    """RMS amplitude of each breath."""
    medium = 10 ** (MEDIUM_DBFS / 20)
    return np.asarray(medium * (np.maximum(breath, 0.0) / MEDIUM_BREATH) ** LEVEL_POWER)
