"""One hole as it sounds: two reeds, the chamber between them, and a mouth that hears and steers.

Conventions: numbers without units. Time is counted in radians of the closing reed (the one that the
breath pushes into its slot), displacements in its gap at rest, pressure in that of a medium breath,
flow in what that pressure drives through the gap. The air goes one way: a blow and a draw note are
the same motion with the reeds exchanged. A hole therefore sounds alike in every key, only the speed
of its clock differs. The kernel runs at `RATE_HZ`; controls come once a millisecond.

Sources: two reeds that share a chamber, Johnston, Acoustics Australia 15(3) 69-75, 1987, and
Bahnson, Antaki & Beery, JASA 103(4) 2134-2144, 1998 (both second-hand); a volume before the reed
as in Millot & Baumann, 2007. The mouth of one resonance and the player in the loop are ours, as are
the constants below: from memory, tuned on the figures of docs/voice-figures.md.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from reedwright.kernels import kernel

Line = NDArray[np.float64]

RATE_HZ = 96_000
STEPS = 96  # of the model in one control interval of a millisecond

_LEAST_PRESSURE = 0.003  # rounds off the root of the flow law near zero
_TRIM_PER_S = 30.0  # how fast the reeds' clock follows what is heard: 33 ms
_LEAK_PER_S = 1.0  # and how fast it lets go, so that the mouth takes over
_TRIM_LIMIT = 0.045  # of the natural logarithm: 78 cents
_MOUTH_PER_S = 6.0  # the mouth is slower
_MOUTH_LIMIT = 0.08  # of the logarithm of its resonance
_FAR = 0.12  # a period further from the target than this (2 semitones) is not listened to
_STILL = 1e-4  # a reed that moves less gives no pitch
_FADING = 0.95  # of the level of hearing, each millisecond
_SLOW = 0.01  # share of a millisecond in the running mean of a reed's place


@kernel(fast=True)
def run_hole(hole: Line, start: Line, hertz: float, controls: Line, flow: Line) -> Line:
    """Fills `flow` with the rate of change of the flow; gives the pitch heard, in hertz, each ms.

    `hole`: see `kinds.Kind.hole`; `start`: place and speed of both reeds, filled at the end with
    those of the last moment (places from their means); `hertz`: natural frequency of the closing
    reed. `controls`, a column per millisecond and one more at the end: wanted hertz; the mouth's
    resonance over the closing reed's; how the pitch follows it (of logarithms; 0: not steered);
    pressure.
    """
    blocks = controls.shape[1] - 1
    heard, speeds, now = np.zeros(blocks), np.empty(STEPS), np.empty(4)
    state = np.zeros(7)  # place and speed of each reed, pressure, flow in, flow out
    state[:4] = start
    ear = np.zeros(4)  # speed before, steps since the reed turned, level, last hertz
    trim, steer, mean_c, mean_o = 0.0, 0.0, 0.0, 0.0
    for block in range(blocks):
        now[0] = 2 * np.pi * hertz / RATE_HZ * np.exp(trim)
        now[1] = controls[1, block] * np.exp(steer)
        now[2], now[3] = controls[3, block], controls[3, block + 1]
        _move(hole, now, state, flow[block * STEPS : (block + 1) * STEPS], speeds)
        turns = _listen(speeds, ear)
        mean_c += _SLOW * (state[0] - mean_c)
        mean_o += _SLOW * (state[2] - mean_o)
        heard[block] = ear[3]
        if turns > 0:
            wrong = np.log(ear[3] / controls[0, block])
            if abs(wrong) < _FAR:
                gone_s = turns / ear[3]
                trim -= gone_s * (_TRIM_PER_S * wrong + _LEAK_PER_S * trim)
                trim = min(_TRIM_LIMIT, max(-_TRIM_LIMIT, trim))
                slope = controls[2, block]
                if slope > 0.0:
                    steer -= gone_s * _MOUTH_PER_S * wrong / slope
                    steer = min(_MOUTH_LIMIT, max(-_MOUTH_LIMIT, steer))
    start[:] = state[:4]
    start[0] -= mean_c
    start[2] -= mean_o
    return heard


@kernel(fast=True)
def _move(hole: Line, now: Line, state: Line, flow: Line, speeds: Line) -> None:
    """A millisecond of reeds and air. `now`: step of the clock, mouth, pressure at start and end;
    fills `speeds` with those of the reed that is listened to."""
    dt, mouth = now[0], now[1]
    stiffness, loss_c, loss_o, ratio = hole[0], hole[1], hole[2], hole[3]
    gap_o, area_o, leak, chamber = hole[4], hole[5], hole[6], hole[7]
    mouth_q, pump, opening = hole[8], hole[9], hole[10]
    inert, resist = chamber * mouth * mouth, 1.0 / (chamber * mouth * mouth_q)
    ratio2, leak2 = ratio * ratio, leak * leak
    xc, vc, xo, vo, p, u, before = state
    pressure, more = now[2], (now[3] - now[2]) / STEPS
    for step in range(STEPS):
        vc -= dt * (loss_c * vc + xc + stiffness * p)
        xc += dt * vc
        vo -= dt * (loss_o * vo + ratio2 * (xo - stiffness * p))
        xo += dt * vo
        yc, yo = 1 + xc, gap_o + xo
        area = np.sqrt(yc * yc + leak2) + area_o * np.sqrt(yo * yo + leak2)
        u += dt * inert * (pressure - resist * u - p)
        conductance = area / np.sqrt(abs(p) + _LEAST_PRESSURE)
        moved = pump * (area_o * vo - vc)
        p = (p + dt / chamber * (u - moved)) / (1 + dt / chamber * conductance)
        through = conductance * p + moved
        flow[step] = (through - before) / dt
        before = through
        pressure += more
        speeds[step] = opening * vo + (1 - opening) * vc
    state[0], state[1], state[2], state[3] = xc, vc, xo, vo
    state[4], state[5], state[6] = p, u, before


@kernel(fast=True)
def _listen(speeds: Line, ear: Line) -> int:
    """Times the turns of a reed, in a millisecond; gives how many there were."""
    before, since, level = ear[0], ear[1], ear[2] * _FADING
    turns, gone = 0, 0.0
    for speed in speeds:
        level = max(level, abs(speed))
        since += 1.0
        if before < 0.0 <= speed and level > _STILL:
            part = speed / (speed - before)
            gone += since - part
            since = part
            turns += 1
        before = speed
    ear[0], ear[1], ear[2] = before, since, level
    if turns > 0:
        ear[3] = RATE_HZ * turns / gone
    return turns
