"""What names a note of an instrument, and the table of instruments that says how each sounds.

Conventions: a note is named by everything that shapes its samples and nothing else, so that equal
names may share one rendering. Velocities 0 … 1 fall into LAYERS of timbre; inside a layer only the
level differs. Variants are the small differences between strokes that no player can avoid.
Source of the numbers of the table: beside them, in data/instruments.toml.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import inf
from typing import Any, TypeVar

RATE_HZ = 48_000

LAYERS = 4
"""Timbres from soft to hard; four are as many as one hears apart in a mix (from memory)."""

LOUDNESS_POWER = 1.5
"""Amplitude goes with velocity to this power: half the velocity is 9 dB less (common practice)."""

LENGTHS_S = (1, 2, 4, 8, 16)
"""Notes are made so long and let go in the mix, so that lengths share a rendering. No note rings
longer than the last: four bars of four at 60 (from memory, what a band ever holds)."""

RINGS_OUT = inf
"""The length of a stroke that is not let go."""


Kind = TypeVar("Kind")


@dataclass(frozen=True, slots=True)
class NoteKey:
    """`layer` 0 … LAYERS − 1; `seconds` one of LENGTHS_S, 0 for a stroke that rings out."""

    instrument: str
    midi: int
    layer: int
    variant: int
    seconds: int

    def __post_init__(self) -> None:
        if not (0 <= self.midi <= 127 and 0 <= self.layer < LAYERS and self.variant >= 0):
            raise ValueError(f"Band: no note of midi {self.midi}, layer {self.layer}.")
        if self.seconds not in (0, *LENGTHS_S):
            raise ValueError(f"Band: a note of {self.seconds} s.")

    @property
    def velocity(self) -> float:
        """The middle of the layer."""
        return (self.layer + 0.5) / LAYERS

    def text(self, *more: object) -> str:
        """A text to draw random numbers from: the length is left out, a longer note of the same
        kind begins in the same way."""
        words = (self.instrument, self.midi, self.layer, self.variant, *more)
        return "|".join(map(str, words))


def frequency_hz(midi: int) -> float:
    """Equal temperament on A = 440 Hz (MIDI standard)."""
    return float(440.0 * 2.0 ** ((midi - 69) / 12))


def layer_of(velocity: float) -> int:
    return min(LAYERS - 1, max(0, int(velocity * LAYERS)))


def loudness(velocity: float) -> float:
    """Amplitude of a velocity against that of 1."""
    return float(min(1.0, max(0.0, velocity)) ** LOUDNESS_POWER)


def seconds_for(length_s: float) -> int:
    """How long a note is made to be let go after a length."""
    return next((seconds for seconds in LENGTHS_S if length_s <= seconds), LENGTHS_S[-1])


@cache
def table() -> Mapping[str, Mapping[str, Any]]:
    """The table of instruments, by kind and name."""
    text = files("reedwright.band").joinpath("data", "instruments.toml").read_text("utf-8")
    return tomllib.loads(text)


def kind_of(made: Callable[..., Kind], section: str, name: str, wanted: Iterable[str]) -> Kind:
    """An instrument's values from the table; of its body, rows of hertz, decibels and Q."""
    row = table()[section][name]
    values = {each: row[each] for each in wanted}
    values["body"] = tuple((hz, db, q) for hz, db, q in values["body"])
    return made(**values)
