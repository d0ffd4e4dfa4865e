"""The kinds of hole that were solved, and what each sounds like.

Conventions: a kind is the interval of a hole's two reeds in whole semitones, as it is or overbent;
a pair in between is played as the nearest. `cents` are depths above the closing reed (bends are
negative), falling; spectra are amplitudes and phases of harmonics in the model's own units, for
each depth and pressure. Source: `data/holes.toml`, written by tools/solve_voice.py.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any

import numpy as np
from numpy.typing import NDArray

from reedwright.voice.body import corners_hz, gain_at
from reedwright.voice.chamber import Line
from reedwright.voice.levels import breath_of
from reedwright.voice.values import SAMPLE_HZ, Hole

OUTSIDE_CENTS = 45.0  # the model may be steered so far beyond the depths it was solved at


@dataclass(frozen=True, eq=False)
class Kind:
    """A kind of hole.

    Attributes:
        hole: the model's values: stiffness, losses of both reeds, ratio of their frequencies, gap
            and width of the opening reed, leak, chamber, mouth's Q, pump, whether it is overbent.
        tuning_cents: how the reeds are tuned so that the hole sounds what is wanted.
        least_pressure, most_pressure, highest_hz: for each depth, from which pressure to which,
            and up to which closing reed, the model starts and keeps its pitch. A player blows no
            harder than that, so `most_pressure` is a bound, not a reason for the wavetable.
        cents, mouth, slope: depths, rising; the mouth for each and how the pitch follows it.
        start: place and speed of both reeds while it sounds at each depth.
        pressures: of the spectra; `waves`: complex amplitudes (depth, pressure, harmonic).
    """

    hole: Line
    tuning_cents: float
    least_pressure: Line
    most_pressure: Line
    highest_hz: Line
    cents: Line
    mouth: Line
    slope: Line
    start: Line
    pressures: Line
    waves: NDArray[np.complex128]

    def models(self, hertz: float, cents: tuple[float, float], pressure: float) -> bool:
        """Whether the model plays a note that sounds in a range of cents at such a pressure."""
        low, high = cents
        if low < self.cents[0] - OUTSIDE_CENTS or high > self.cents[-1] + OUTSIDE_CENTS:
            return False
        places = self.depth_places(np.array([low, high]))
        touched = slice(int(places[0]), int(np.ceil(places[1])) + 1)
        return bool(
            hertz <= self.highest_hz[touched].min()
            and pressure >= self.least_pressure[touched].max()
        )

    def depth_places(self, cents: Line) -> Line:
        """Depths as places (with parts) in the list of solved ones."""
        return np.interp(cents, self.cents, np.arange(len(self.cents)))

    def pressure_places(self, pressure: Line) -> Line:
        """The same for pressures."""
        return np.interp(pressure, self.pressures, np.arange(len(self.pressures)))

    @property
    def rms(self) -> Line:
        """RMS of the model's flow at each depth and pressure."""
        return np.asarray(np.sqrt((np.abs(self.waves) ** 2).sum(2) / 2))

    @lru_cache(1024)  # noqa: B019 - there are as many kinds as in the table, for good
    def rms_at_lips(self, hertz: float, blocked: bool) -> Line:
        """RMS of each depth and pressure behind the body's filter, in a hole of such a reed."""
        notes_hz = hertz * 2 ** (self.cents / 1200)
        orders = np.arange(1, self.waves.shape[2] + 1)
        partials_hz = notes_hz[:, None] * orders
        audible = partials_hz < SAMPLE_HZ / 2
        rms = np.empty(self.waves.shape[:2])
        for which, pressure in enumerate(self.pressures):
            breath = np.array([breath_of(float(pressure))])
            gain = gain_at(partials_hz, float(corners_hz(breath, blocked)[0])) * audible
            rms[:, which] = np.sqrt((np.abs(self.waves[:, which]) ** 2 * gain**2).sum(1) / 2)
        return rms


@lru_cache(1)
def kinds() -> dict[tuple[int, bool], Kind]:
    """Every kind, by interval and whether it is overbent."""
    text = files(__package__).joinpath("data", "holes.toml").read_text(encoding="utf-8")
    table = tomllib.loads(text)
    pressures = np.array(table["pressures"])
    return {(row["interval"], row["over"]): _kind(row, pressures) for row in table["kind"]}


def kind_of(hole: Hole) -> Kind:
    """The kind of one hole."""
    return kinds()[hole.interval, hole.over]


def _kind(row: dict[str, Any], pressures: Line) -> Kind:
    order = np.argsort(row["cents"])
    waves = np.stack([_waves(row, which) for which in range(len(pressures))], axis=1)
    return Kind(
        hole=np.array(row["hole"]),
        tuning_cents=row["tuning_cents"],
        least_pressure=np.array(row["least_pressure"])[order],
        most_pressure=np.array(row["most_pressure"])[order],
        highest_hz=np.array(row["highest_hz"])[order],
        cents=np.array(row["cents"])[order],
        mouth=np.array(row["mouth"])[order],
        slope=np.array(row["slope"])[order],
        start=np.array(row["start"])[order],
        pressures=pressures,
        waves=waves[order],
    )


def _waves(row: dict[str, Any], which: int) -> NDArray[np.complex128]:
    levels_db = np.array(row[f"level_db_{which}"], dtype=float)
    phases_deg = np.array(row[f"phase_deg_{which}"], dtype=float)
    return np.asarray(10 ** (levels_db / 20) * np.exp(1j * np.radians(phases_deg)))
