"""Springs and room: what is added to the speaker's sound, each as an impulse response.

Conventions: both are linear and do not change with time, so they are worked out once as a response
to a click and laid over the sound by fast convolution. The springs' response is built in the
frequency domain: a helix carries high tones slower, up to a limit it does not pass, so that every
pass of a click is drawn out into a chirp (delay T / sqrt(1 - (f / limit)²): a design after the
shape of published dispersion curves, from memory). The room is a box with the speaker and the
listener in it; its echoes come from mirror images of the speaker up to the second order (Allen &
Berkley, JASA 65(4) 943-950, 1979 [from memory]).
"""

from __future__ import annotations

from functools import cache
from itertools import product
from math import dist, sqrt

import numpy as np
from scipy.signal import oaconvolve

from reedwright.amp.finite import RATE_HZ, Floats, Sound
from reedwright.amp.values import Room, Spring

SOUND_M_PER_S = 343.0
"""In air of 20 °C (physics texts)."""

_SPRINGS = ((0.033, 3_900.0), (0.041, 4_400.0))  # one way in seconds, limit in Hz; from memory
_SPRING_LOW_HZ = 90.0  # the transducers pass nothing below (from memory)
_SPEAKER_AT = (0.2, 0.35, 0.2)  # shares of the room: length, width, height (a design)
_LISTENER_AT = (0.7, 0.55, 0.45)
_ORDER = 2
_PIECE = 1 << 20  # samples folded at a time, so that a long take needs no more memory


def in_space(samples: Sound, spring: Spring, room: Room) -> Sound:
    """The sound with springs and room; the tail is cut at the sound's length."""
    response = space_response(spring, room)
    if len(response) == 1 or not len(samples):
        return samples
    short = response.astype(np.float32)  # half the time of 64 bits, and an error 140 dB down
    out = np.zeros_like(samples)
    for start in range(0, len(samples), _PIECE):
        wet = oaconvolve(samples[start : start + _PIECE], short)
        size = min(len(wet), len(out) - start)
        out[start : start + size] += wet[:size]
    return out


@cache
def space_response(spring: Spring, room: Room) -> Floats:
    """The answer of springs and room to a click; `[1.0]` when both are left out."""
    response = np.ones(1)
    if spring.share_percent:
        springs = spring_response(spring.decay_s) * (spring.share_percent / 100)
        springs[0] += 1
        response = springs
    if room.share_percent and room.absorption_percent < 100:
        echoes = room_response(room)
        response = np.asarray(oaconvolve(response, echoes))
    return response


@cache
def spring_response(decay_s: float) -> Floats:
    """Two springs side by side, of unit energy together; falls by 60 dB in `decay_s`."""
    size = 1 << int(np.ceil(np.log2(1.5 * decay_s * RATE_HZ + RATE_HZ / 4)))
    sum_ = np.zeros(size)
    for one_way_s, limit_hz in _SPRINGS:
        sum_ += np.fft.irfft(_spring_spectrum(size, one_way_s, limit_hz, decay_s), size)
    sum_ = sum_[: int(decay_s * RATE_HZ)]
    fade = min(len(sum_) // 4, RATE_HZ // 10)
    sum_[-fade:] *= np.linspace(1, 0, fade)
    return np.asarray(sum_ / sqrt(float(np.sum(sum_**2))))


def _spring_spectrum(size: int, one_way_s: float, limit_hz: float, decay_s: float) -> Floats:
    """Passes 1, 3, 5 … of a click, each turned over at the far end: a geometric series."""
    hz = np.fft.rfftfreq(size, 1 / RATE_HZ)
    within = np.minimum(hz / limit_hz, 0.995)
    phase = 2 * np.pi * one_way_s * limit_hz * np.arcsin(within)  # the delay, summed over frequency
    once = np.exp(-1j * phase)
    there_and_back_s = 2 * one_way_s / np.sqrt(1 - within**2)
    kept = 10 ** (-3 * there_and_back_s / decay_s)  # of the amplitude: 60 dB in `decay_s`
    edges = 1 / (1 + (hz / (0.88 * limit_hz)) ** 48) / (1 + (_SPRING_LOW_HZ / (hz + 1e-9)) ** 4)
    return np.asarray(edges * once / (1 + kept * once * once))


@cache
def room_response(room: Room) -> Floats:
    """The direct sound as 1 at once, then the echoes of the walls times the room's share."""
    size = (room.length_m, room.width_m, room.height_m)
    speaker = [at * length for at, length in zip(_SPEAKER_AT, size, strict=True)]
    listener = [at * length for at, length in zip(_LISTENER_AT, size, strict=True)]
    direct_m, kept = dist(speaker, listener), sqrt(1 - room.absorption_percent / 100)
    orders = range(-_ORDER, _ORDER + 1)
    images = [one for one in product(orders, repeat=3) if 0 < sum(map(abs, one)) <= _ORDER]
    echoes = []
    for image in images:
        place = [_mirrored(at, n, m) for at, n, m in zip(speaker, image, size, strict=True)]
        metres = dist(place, listener)
        level = kept ** sum(map(abs, image)) * direct_m / metres * room.share_percent / 100
        echoes.append(((metres - direct_m) / SOUND_M_PER_S * RATE_HZ, level))
    response = np.zeros(int(max(late for late, _ in echoes)) + 2)
    response[0] = 1
    for late, level in echoes:
        whole = int(late)
        response[whole] += level * (whole + 1 - late)
        response[whole + 1] += level * (late - whole)
    return response


def _mirrored(at_m: float, order: int, length_m: float) -> float:
    """Where the image of a point stands that was mirrored `order` times along one side."""
    inside_m = at_m if order % 2 == 0 else length_m - at_m
    return order * length_m + inside_m
