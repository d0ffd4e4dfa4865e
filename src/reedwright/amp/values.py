"""What an amp file may set: one frozen section for each stage, with the bounds of every figure.

Conventions: the unit ends each name (`_db`, `_hz`, `_ms`, `_m`, `_v`, `_mv_per_pa`, `_percent`,
`_w`, `_s`). A share of 0 percent leaves a stage out. Bounds are sanity, not taste: inside
them every stage is stable and was tested. The default figures and their origins stand in
`data/default.amp`.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import Any


def span(low: float, high: float) -> Any:  # noqa: ANN401 -- what `field` gives, for any type
    """A figure between two bounds, both allowed."""
    return field(metadata={"low": low, "high": high})


class Section:
    """A section of an amp file: every number is checked against its bounds."""

    __slots__ = ()

    def __post_init__(self) -> None:
        for name, low, high in bounds(type(self)):
            value = getattr(self, name)
            if not low <= value <= high:  # true for NaN
                raise ValueError(f"{name} = {value:g} is not between {low:g} and {high:g}.")


def bounds(section: type[Section]) -> tuple[tuple[str, float, float], ...]:
    """Name, least and greatest value of every bounded figure of a section."""
    rows = fields(section)  # type: ignore[arg-type]  # every section is a dataclass
    return tuple((row.name, row.metadata["low"], row.metadata["high"]) for row in rows)


@dataclass(frozen=True, slots=True)
class Cup(Section):
    """Hands round harp and microphone: closed, the small cavity raises the pressure at the
    microphone and lets less treble through; open, the sound passes by."""

    closed_gain_db: float = span(0, 20)
    closed_cut_hz: float = span(300, 12_000)
    open_cut_hz: float = span(300, 16_000)


@dataclass(frozen=True, slots=True)
class Microphone(Section):
    sensitivity_mv_per_pa: float = span(0.1, 200)
    low_cut_hz: float = span(10, 1_000)
    high_cut_hz: float = span(1_500, 18_000)


@dataclass(frozen=True, slots=True)
class Preamp(Section):
    """`headroom_v`: where the stage flattens out; `bias_percent`: how far from its middle it rests,
    in percent of that."""

    gain_db: float = span(-20, 80)
    headroom_v: float = span(0.05, 200)
    bias_percent: float = span(-60, 60)
    bass_db: float = span(-20, 12)
    treble_db: float = span(-20, 12)


@dataclass(frozen=True, slots=True)
class Power(Section):
    """`volume_db` stands before the stage. A sine that peaks at `headroom_v` gives `power_w`."""

    volume_db: float = span(-60, 40)
    headroom_v: float = span(0.05, 200)
    power_w: float = span(0.05, 300)
    bias_percent: float = span(-60, 60)
    sag_percent: float = span(0, 50)
    sag_ms: float = span(5, 1_000)


@dataclass(frozen=True, slots=True)
class Speaker(Section):
    """`sensitivity_db`: sound pressure level at 1 m from 1 W."""

    resonance_hz: float = span(30, 300)
    presence_db: float = span(-6, 9)
    high_cut_hz: float = span(1_500, 9_000)
    sensitivity_db: float = span(70, 115)


@dataclass(frozen=True, slots=True)
class Tremolo(Section):
    depth_percent: float = span(0, 95)
    rate_hz: float = span(0.5, 15)


@dataclass(frozen=True, slots=True)
class Echo(Section):
    delay_ms: float = span(30, 1_000)
    share_percent: float = span(0, 100)
    repeat_percent: float = span(0, 70)


@dataclass(frozen=True, slots=True)
class Spring(Section):
    share_percent: float = span(0, 100)
    decay_s: float = span(0.3, 4)


@dataclass(frozen=True, slots=True)
class Room(Section):
    length_m: float = span(2, 40)
    width_m: float = span(2, 40)
    height_m: float = span(2, 15)
    absorption_percent: float = span(5, 100)
    share_percent: float = span(0, 100)


@dataclass(frozen=True, slots=True)
class Stage(Section):
    """Distances for gain before feedback. `enough_at_m`: how near the bare harp would have to be
    played for the farthest listener to hear it well."""

    harp_to_microphone_m: float = span(0.01, 5)
    microphone_to_speaker_m: float = span(0.2, 100)
    harp_to_listener_m: float = span(0.5, 200)
    speaker_to_listener_m: float = span(0.5, 200)
    enough_at_m: float = span(0.2, 50)
    open_microphones: float = span(1, 32)


@dataclass(frozen=True, slots=True)
class Listening(Section):
    """How loud one listens or rehearses (A-weighted), and for how long."""

    level_dba: float = span(30, 140)
    hours_a_day: float = span(0, 24)
    headphones_dba: float = span(30, 140)
    headphones_hours_a_week: float = span(0, 168)
