"""Compile the voice's loops, once, before others share the work.

Conventions: takes seconds on a machine that has never done it, next to nothing afterwards.
"""

from __future__ import annotations

from reedwright.performance.playing import Curve, level
from reedwright.voice.render import render
from reedwright.voice.values import Hole, HoleLine, Segment


def prepare() -> None:
    """Every kernel of the room is ready after this."""
    breath = Curve((0.0, 0.02, 0.05), (0.0, 0.5, 0.0))
    hole = Hole(440.0, -2)
    for modelled in (True, False):
        line = HoleLine(hole, level(0.0), breath, level(1.0), modelled=modelled)
        render(Segment(0, 2_400, (line,), breath, 1.0, False))
