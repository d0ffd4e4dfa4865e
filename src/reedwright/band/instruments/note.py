"""A finished note: played, set to its level, placed in the room, let go when it is mixed.

Conventions: float32 (samples, 2) at 48 kHz, at full velocity; the mix multiplies it by the
velocity's loudness. The loudest WINDOW_S of its beginning stand at the instrument's `level_db`
below full scale (RMS), whatever its pitch. Notes are kept by their key, the least recently used are
given up above KEPT_BYTES: a note that comes back is made again, the same to the bit.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from math import cos, pi, sin
from threading import Lock
from typing import Any

import numpy as np
from numpy.typing import NDArray

from reedwright.band.instruments.drums import pieces, struck
from reedwright.band.instruments.organ import piped
from reedwright.band.instruments.piano import struck_strings
from reedwright.band.instruments.room import roomy
from reedwright.band.instruments.seeds import Wave, share
from reedwright.band.instruments.strings import plucked
from reedwright.band.instruments.values import LENGTHS_S, RATE_HZ, NoteKey, table
from reedwright.errors import ReedwrightError

Samples = NDArray[np.float32]

WINDOW_S = 0.05
"""Loudness of a note is judged over this long (from memory: about what an ear does)."""

ONSET_S = 0.25
"""… of its beginning, so that a long note is no softer than a short one."""

END_S = 0.03
"""How the end of a note is faded that nobody lets go."""

SILENCE = 10 ** (-76 / 20)
"""What stays below this for good is cut away: 46 dB under the quietest part."""

KEPT_BYTES = 220_000_000
"""Five minutes of notes: all that a tune needs (measured: 40 to 150 MB)."""

UNEVEN_DB = 0.6
"""No player strikes twice the same: how much a variant is louder or softer (from memory)."""

DRUMS = "drums"


@dataclass(frozen=True, slots=True)
class Place:
    """How a part stands in the mix, in the words of data/instruments.toml."""

    program: int
    references: tuple[int, ...]
    level_db: float
    send_db: float
    pan: float
    release_s: float
    attack_s: float


@cache
def place_of(instrument: str) -> Place:
    values: dict[str, Any] = table()["place"][instrument]
    return Place(**values | {"references": tuple(values["references"])})


@cache
def player_of(instrument: str) -> Callable[[NoteKey, int], Wave]:
    """What plays an instrument: a key and a number of samples, dry."""
    if instrument == DRUMS:
        return struck
    kinds = {"string": plucked, "organ": piped, "piano": struck_strings}
    return next(play for kind, play in kinds.items() if instrument in table()[kind])


@dataclass(frozen=True, slots=True)
class Note:
    """`heard`: (samples, 2), the room with it; `wet`: (samples,), the room alone, both ears as
    one, which lingers when the note is let go; empty where a note rings out.
    """

    heard: Samples
    wet: Samples

    @property
    def nbytes(self) -> int:
        return self.heard.nbytes + self.wet.nbytes


def note_in_room(key: NoteKey) -> Note:
    """A note made new. Errors: ReedwrightError if an instrument gives numbers that are none."""
    place = place_of(key.instrument)
    dry = _softened(player_of(key.instrument)(key, _samples(key)), place)
    wave = dry if dry.ndim == 1 else dry.mean(axis=1)
    wet = roomy(wave * 10 ** (place.send_db / 20))
    heard = wet.copy()
    heard[: dry.shape[0]] += _placed(dry, key, place)
    gain = _gain(heard, key, place)
    if not np.isfinite(gain) or not np.isfinite(heard.sum()):
        raise ReedwrightError(f"Band: {key.instrument} made a number that is none, note {key}.")
    whole = _trimmed(heard * gain).astype(np.float32)
    lingers = len(whole) if key.seconds else 0
    room = (wet[:lingers].mean(axis=1) * gain).astype(np.float32)
    whole.setflags(write=False)
    room.setflags(write=False)
    return Note(whole, room)


def _samples(key: NoteKey) -> int:
    length_s = float(key.seconds)
    if key.instrument == DRUMS:
        ring_s = pieces()[key.midi].ring_s
        length_s = min(length_s, ring_s) if key.seconds else ring_s
    return int((length_s or LENGTHS_S[-1]) * RATE_HZ) + 1


def _softened(dry: Wave, place: Place) -> Wave:
    """A soft end of what rings out, and of its first samples where the table asks for it."""
    rise = int(place.attack_s * RATE_HZ)
    shape = np.ones(dry.shape[0])
    tail = min(dry.shape[0], int(END_S * RATE_HZ))
    shape[dry.shape[0] - tail :] = np.cos(np.linspace(0, pi / 2, tail)) ** 2
    shape[:rise] *= np.linspace(0, 1, rise, endpoint=False)[: dry.shape[0]]
    return dry * (shape if dry.ndim == 1 else shape[:, None])


def _gain(heard: Wave, key: NoteKey, place: Place) -> float:
    count = int(WINDOW_S * RATE_HZ)
    power = (heard[: int(ONSET_S * RATE_HZ)] ** 2).mean(axis=1)
    sums = np.concatenate([[0.0], np.cumsum(power)])
    loudest = float(np.sqrt((sums[count:] - sums[:-count]).max() / count))
    level_db = place.level_db + UNEVEN_DB * share(key.text("uneven"))
    if key.instrument == DRUMS:
        level_db += pieces()[key.midi].level_db
    return float(10 ** (level_db / 20)) / max(loudest, 1e-9)


def _placed(dry: Wave, key: NoteKey, place: Place) -> Wave:
    """Equal power from left to right (common practice); a stereo instrument keeps its width."""
    pan = pieces()[key.midi].pan if key.instrument == DRUMS else place.pan
    angle = (pan + 1) * pi / 4
    sides = np.array([cos(angle), sin(angle)]) * 2**0.5
    return dry * sides if dry.ndim == 2 else dry[:, None] * sides


def _trimmed(heard: Wave) -> Wave:
    loud = np.flatnonzero(np.abs(heard).max(axis=1) > SILENCE)
    end = min(heard.shape[0], int(loud[-1]) + 1 if loud.size else 1)
    out = heard[:end]
    fade = min(end, 480)  # 10 ms, so that cutting at SILENCE leaves no corner
    out[end - fade :] *= np.linspace(1, 0, fade)[:, None]
    return out


class Notes:
    """Notes made so far; safe to share between threads, which may make the same note twice."""

    def __init__(self, kept_bytes: int = KEPT_BYTES) -> None:
        self._kept: OrderedDict[NoteKey, Note] = OrderedDict()
        self._room, self._bytes, self._lock = kept_bytes, 0, Lock()

    def note(self, key: NoteKey) -> Note:
        with self._lock:
            found = self._kept.get(key)
            if found is not None:
                self._kept.move_to_end(key)
                return found
        made = note_in_room(key)
        with self._lock:
            if key not in self._kept:
                self._kept[key] = made
                self._bytes += made.nbytes
            while self._bytes > self._room and len(self._kept) > 1:
                self._bytes -= self._kept.popitem(last=False)[1].nbytes
        return made


NOTES = Notes()
"""The notes of this process."""
