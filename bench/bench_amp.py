"""Speed of amplifier and acoustic cup against real time, on one core.

Processor time, not wall time: the gate is about one core, and the machine may be shared. The
amplifier at least 80 times as fast as the sound lasts, plain and with every effect on; the cup 200
times, so that it hardly counts beside the voice.
"""

import statistics
import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from bench.row import Gate, Row
from reedwright.amp.chain import amplified
from reedwright.amp.read import default_rig
from reedwright.voice.cup import acoustic

_RATE_HZ, _LENGTH_S = 48_000, 45
_MS_PER_S = 1000.0
_AMP_TIMES, _CUP_TIMES = 80, 200


def run() -> list[Row]:
    """45 seconds of a note with moving hands."""
    time_s = np.arange(_LENGTH_S * _RATE_HZ) / _RATE_HZ
    sound = (0.14 * np.sin(2 * np.pi * 330 * time_s)).astype(np.float32)
    cup = (0.5 - 0.5 * np.cos(2 * np.pi * 2 * time_s)).astype(np.float32)
    rig = default_rig()
    wet = replace(
        rig,
        tremolo=replace(rig.tremolo, depth_percent=40.0),
        echo=replace(rig.echo, share_percent=30.0),
        spring=replace(rig.spring, share_percent=20.0),
    )
    return [
        _row("amplifier, 45 s, default rig", lambda: amplified(sound, cup, rig), _AMP_TIMES),
        _row("amplifier, 45 s, all effects", lambda: amplified(sound, cup, wet), _AMP_TIMES),
        _row("acoustic cup, 45 s", lambda: acoustic(sound, cup), _CUP_TIMES),
    ]


def _row(what: str, call: Callable[[], object], times: float) -> Row:
    call()  # compiles, and warms the caches
    measured_ms = _MS_PER_S * statistics.median(_seconds(call) for _ in range(7))
    return Row(
        what,
        measured_ms,
        Gate.FASTER_AT_LEAST,
        times,
        baseline=_LENGTH_S * _MS_PER_S,
        baseline_what="real time",
    )


def _seconds(call: Callable[[], object]) -> float:
    started_s = time.process_time()
    call()
    return time.process_time() - started_s
