"""The loops that make the band's sound: a plucked string, a set of modes, a rotating organ, adding.

Conventions: 48 kHz; float64 inside, float32 only in the finished notes that `add_note` sums. The
fast kernels neither see nor test for NaN: `note.note_in_room` checks what comes out. A string is a
loop of a delay, a loss (one pole) and a tuning allpass (extended plucked-string model, Jaffe and
Smith, Computer Music Journal 7(2), 1983). A mode is a decaying sine that rotates by one complex
multiplication a sample.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from reedwright.kernels import kernel

Wave = NDArray[np.float64]
Samples = NDArray[np.float32]

TABLE = 4096
"""Samples of one turn of an organ's wave; linear reading errs by less than −80 dB of a partial up
to the sixteenth (error of linear interpolation, (2πh/N)²/8)."""


@kernel(fast=True)
def string(drive: Wave, delay: int, allpass: float, pole: float, gain: float) -> Wave:
    """What a string does with the drive put into its loop."""
    line = np.zeros(delay)
    out = np.empty(drive.size)
    place = 0
    lost = before = tuned = 0.0
    for n in range(drive.size):
        back = line[place]
        lost = (1.0 - pole) * back + pole * lost
        damped = gain * lost
        tuned = allpass * damped + before - allpass * tuned
        before = damped
        value = drive[n] + tuned
        line[place] = value
        place += 1
        if place == delay:
            place = 0
        out[n] = value
    return out


@kernel(fast=True)
def modes(
    radians: Wave, decays: Wave, real: Wave, imaginary: Wave, glide: Wave, samples: int
) -> Wave:
    """The sum of decaying modes that start at real + i·imaginary and rotate by `radians` a sample.

    `decays` multiply each sample; `glide` (one per sample, or empty) scales every rotation.
    """
    count = radians.size
    re, im = real.copy(), imaginary.copy()
    cosines, sines = np.cos(radians) * decays, np.sin(radians) * decays
    out = np.empty(samples)
    for n in range(samples):
        if n < glide.size:
            for k in range(count):
                cosines[k] = np.cos(radians[k] * glide[n]) * decays[k]
                sines[k] = np.sin(radians[k] * glide[n]) * decays[k]
        total = 0.0
        for k in range(count):
            total += im[k]
            turned = re[k] * cosines[k] - im[k] * sines[k]
            im[k] = re[k] * sines[k] + im[k] * cosines[k]
            re[k] = turned
        out[n] = total
    return out


@kernel(fast=True)
def rotor(
    table: Wave, step: float, turn: float, phase: float, reach: tuple[float, float], samples: int
) -> Wave:
    """A wave read from one turn of it while its source moves to and fro in front of two ears.

    `step` is the turns of the wave per sample, `turn` the radians of the rotor per sample,
    `reach` how far it comes nearer, in samples, and how much louder it is towards an ear.
    """
    size = table.size - 1
    delay, swell = reach
    out = np.empty((samples, 2))
    for ear in range(2):
        side = phase + ear * 0.5 * np.pi  # the ears stand a quarter turn apart
        for n in range(samples):
            near = np.sin(side + turn * n)
            place = step * (n + delay * near)
            place = (place - np.floor(place)) * size
            whole = int(place)
            part = place - whole
            value = table[whole] + part * (table[whole + 1] - table[whole])
            out[n, ear] = value * (1.0 + swell * near)
    return out


@kernel(fast=True)
def add_note(mix: Samples, note: Samples, start: int, gain: float) -> None:
    """Add a note times a gain into a mix; what lies outside the mix is left out. Both stand whole
    in memory, so that left and right are added as one row.
    """
    first = 2 * max(0, -start)
    last = 2 * min(note.shape[0], mix.shape[0] - start)
    scale = np.float32(gain)
    here, heard = mix.reshape(-1), note.reshape(-1)
    ahead = 2 * start
    for n in range(first, last):
        here[ahead + n] += scale * heard[n]


@kernel(fast=True)
def add_release(
    mix: Samples, note: Samples, wet: Samples, start: int, gain: float, fades: Samples
) -> None:
    """Add the end of a note that is let go, as `fades` say: of the note and of its room alone.

    `note` and `wet` (one row for both ears) from where it is let go; `fades`: (samples, 2).
    """
    last = min(note.shape[0], mix.shape[0] - start, fades.shape[0])
    scale = np.float32(gain)
    for n in range(max(0, -start), last):
        held, room = scale * fades[n, 0], scale * fades[n, 1] * wet[n]
        mix[start + n, 0] += held * note[n, 0] + room
        mix[start + n, 1] += held * note[n, 1] + room
