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
_SLOW = 3e-4  # share of a step in the running mean of a reed's place


@kernel(fast=True)
def run_hole(
    hole: Line, start: Line, hertz: float, controls: NDArray[np.float64], flow: Line
) -> Line:
    """Fills `flow` with the rate of change of the flow; gives the pitch heard, in hertz, each ms.

    `hole`: see `kinds.Kind.hole`; `start`: place and speed of both reeds, filled with those at the
    last moment the listened-to reed turned; `hertz`: natural frequency of the closing reed.
    `controls`, a column per millisecond and one more at the end: wanted hertz; the mouth's resonance
    over the closing reed's; how the pitch follows it (of logarithms; 0: not steered); pressure.
    """
    stiffness, loss_c, loss_o, ratio = hole[0], hole[1], hole[2], hole[3]
    gap_o, area_o, leak, chamber = hole[4], hole[5], hole[6], hole[7]
    mouth_q, pump, opening = hole[8], hole[9], hole[10]
    blocks = controls.shape[1] - 1
    heard = np.zeros(blocks)
    ratio2, leak2 = ratio * ratio, leak * leak
    xc, vc, xo, vo = start[0], start[1], start[2], start[3]
    p, u, before, trim, steer = 0.0, 0.0, 0.0, 0.0, 0.0
    moving, since, level, last_hz, mean_c, mean_o = 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
    for block in range(blocks):
        dt = 2 * np.pi * hertz / RATE_HZ * np.exp(trim)
        tract = controls[1, block] * np.exp(steer)
        inert, resist = chamber * tract * tract, 1.0 / (chamber * tract * mouth_q)
        blow = controls[3, block]
        blow_step = (controls[3, block + 1] - blow) / STEPS
        for step in range(STEPS):
            vc -= dt * (loss_c * vc + xc + stiffness * p)
            xc += dt * vc
            vo -= dt * (loss_o * vo + ratio2 * (xo - stiffness * p))
            xo += dt * vo
            yc, yo = 1 + xc, gap_o + xo
            area = np.sqrt(yc * yc + leak2) + area_o * np.sqrt(yo * yo + leak2)
            u += dt * inert * (blow - resist * u - p)
            conductance = area / np.sqrt(abs(p) + _LEAST_PRESSURE)
            moved = pump * (area_o * vo - vc)
            p = (p + dt / chamber * (u - moved)) / (1 + dt / chamber * conductance)
            through = conductance * p + moved
            flow[block * STEPS + step] = (through - before) / dt
            before = through
            blow += blow_step
            mean_c += _SLOW * (xc - mean_c)
            mean_o += _SLOW * (xo - mean_o)
            speed = opening * vo + (1 - opening) * vc
            level = max(level * 0.9995, abs(speed))
            since += 1.0
            if moving < 0.0 <= speed and level > _STILL:
                part = speed / (speed - moving)
                period, since = since - part, part
                last_hz = RATE_HZ / period
                wrong = np.log(last_hz / controls[0, block])
                start[0], start[1], start[2], start[3] = xc - mean_c, vc, xo - mean_o, vo
                if abs(wrong) < _FAR:
                    gone_s = period / RATE_HZ
                    trim -= gone_s * (_TRIM_PER_S * wrong + _LEAK_PER_S * trim)
                    trim = min(_TRIM_LIMIT, max(-_TRIM_LIMIT, trim))
                    if controls[2, block] > 0.0:
                        steer -= gone_s * _MOUTH_PER_S * wrong / controls[2, block]
                        steer = min(_MOUTH_LIMIT, max(-_MOUTH_LIMIT, steer))
            moving = speed
        heard[block] = last_hz
    return heard
