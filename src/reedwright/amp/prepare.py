"""Compiling the amplifier's kernels once, before work is spread over processes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from reedwright.amp.chain import amplified
from reedwright.amp.read import default_rig


def prepare() -> None:
    """Run every kernel on a little silence, so that each is compiled and kept on disk."""
    silence = np.zeros(64, np.float32)
    rig = default_rig()
    swaying = replace(rig, tremolo=replace(rig.tremolo, depth_percent=50.0))
    amplified(silence, silence, swaying)
