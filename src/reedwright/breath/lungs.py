"""A player's lungs, and the air that a note takes.

Conventions: volumes in litres above residual volume (0 is as empty as anyone can be), flows in
litres per second and never negative: the direction is said beside them. Bends deepen in
semitones, fractions allowed. `medium` loudness and one unbent reed have the factor 1.
Sources: the defaults and their origins stand in `data/breath.toml`; the flows are from memory,
since no published flow of a harmonica was found.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from itertools import pairwise
from typing import Literal, get_args

from reedwright.errors import Problem, SettingError
from reedwright.tune.marks import Loudness

Direction = Literal["draw", "blow"]
_DIRECTIONS, _LOUDNESS = frozenset(get_args(Direction)), frozenset(Loudness)

_ORDERED = (
    "comfortable_low_l",
    "easy_low_l",
    "easy_high_l",
    "comfortable_high_l",
    "vital_capacity_l",
)

# Breathing hard and fast lowers the carbon dioxide in the blood [medical reference pages].
CAUTION = (
    "Hard breathing in and out can make you light-headed: when you feel dizzy, stop, "
    "breathe quietly and rest."
)


@dataclass(frozen=True, slots=True)
class Limits:
    """The volumes a player stays between, both ends allowed."""

    low_l: float
    high_l: float

    def __post_init__(self) -> None:
        if not -math.inf < self.low_l <= self.high_l < math.inf:  # False for NaN
            found = f"lung limits from {self.low_l} to {self.high_l} litres"
            raise SettingError(Problem(found, "The lower limit comes first, both are numbers"))

    @property
    def room_l(self) -> float:
        return self.high_l - self.low_l


@dataclass(frozen=True, slots=True)
class Lungs:
    """One player. Each field's meaning, default, range and origin: `data/breath.toml`.

    `lungs_from` in `reedwright.breath.settings` makes one from the defaults and a user's own
    numbers. Errors: SettingError, with every fault in one go.
    """

    vital_capacity_l: float
    comfortable_low_l: float
    comfortable_high_l: float
    easy_low_l: float
    easy_high_l: float
    start_l: float
    breathe_in_l_per_s: float
    breathe_out_l_per_s: float
    draw_l_per_s: float
    blow_l_per_s: float
    extra_reed: float
    bend_per_semitone: float
    loudness_very_soft: float
    loudness_soft: float
    loudness_medium: float
    loudness_loud: float
    loudness_very_loud: float
    turn_gap_s: float
    turn_gap_share: float

    def __post_init__(self) -> None:
        problems = _bad_numbers(self) or _bad_order(self)
        if problems:
            raise SettingError(tuple(problems))

    @property
    def hard(self) -> Limits:
        """From empty to full: no plan passes these."""
        return Limits(0.0, self.vital_capacity_l)

    @property
    def comfortable(self) -> Limits:
        return Limits(self.comfortable_low_l, self.comfortable_high_l)

    def limits(self, comfort: float) -> Limits:
        """Between the hard limits (`comfort` 0) and the comfortable ones (1), in proportion."""
        if comfort == 1.0:
            return self.comfortable  # not by way of a rounded sum
        high_l = self.vital_capacity_l + comfort * (self.comfortable_high_l - self.vital_capacity_l)
        return Limits(comfort * self.comfortable_low_l, high_l)

    def flow_l_per_s(
        self,
        direction: Direction,
        reeds: int = 1,
        loudness: Loudness = Loudness.MEDIUM,
        bend_semitones: float = 0.0,
    ) -> float:
        """The air a note takes: reeds sounding together, loudness, and depth of bend.

        >>> from reedwright.breath.settings import default_lungs
        >>> round(default_lungs().flow_l_per_s("draw", reeds=3, loudness=Loudness.LOUD), 3)
        0.72
        """
        if loudness not in _LOUDNESS or direction not in _DIRECTIONS:
            found = f"flow of a {loudness} {direction} note"
            rule = f"A note is drawn or blown, and {', '.join(Loudness)}"
            raise SettingError(Problem(found, rule))
        if not (reeds >= 1 and 0.0 <= bend_semitones < math.inf):
            found = f"flow of {reeds} reeds bent by {bend_semitones} semitones"
            raise SettingError(Problem(found, "At least one reed sounds, bent by 0 or more"))
        one_l_per_s = self.draw_l_per_s if direction == "draw" else self.blow_l_per_s
        loud: float = getattr(self, "loudness_" + loudness.replace(" ", "_"))
        together = 1.0 + self.extra_reed * (reeds - 1)
        return one_l_per_s * loud * together * (1.0 + self.bend_per_semitone * bend_semitones)

    def gap_s(self, note_duration_s: float) -> float:
        """What a note gives up at its end when the next one goes the other way."""
        return min(self.turn_gap_s, self.turn_gap_share * note_duration_s)


def _bad_numbers(lungs: Lungs) -> list[Problem]:
    return [
        Problem(f"{field.name} is {value}", "Lungs and flows are finite and not negative")
        for field in fields(lungs)
        if not 0.0 <= (value := getattr(lungs, field.name)) < math.inf
    ]


def _bad_order(lungs: Lungs) -> list[Problem]:
    """Faults in `0 ≤ comfortable_low ≤ easy_low ≤ easy_high ≤ comfortable_high ≤ capacity`."""
    pairs = [*pairwise(_ORDERED)]
    pairs += [("comfortable_low_l", "start_l"), ("start_l", "comfortable_high_l")]
    return [
        Problem(
            f"{lower} ({getattr(lungs, lower):g}) lies above {upper} ({getattr(lungs, upper):g})",
            f"The order is {' ≤ '.join(_ORDERED)}, with start_l between the comfortable limits",
            f"lower {lower} or raise {upper}",
        )
        for lower, upper in pairs
        if getattr(lungs, lower) > getattr(lungs, upper)
    ]
