"""Gain before feedback of a stage plan: what a system can give, and what the room needs.

Conventions: metres and decibels; the open air of the textbooks, 6 dB less for twice the distance,
microphones and speakers that favour no direction. PAG = 20 log10(D1 · D0 / (Ds · D2)), less 6 dB
kept in hand and 10 log10 of the open microphones; NAG = 20 log10(D0 / EAD). Ds source to
microphone, D1 microphone to speaker, D0 source to listener, D2 speaker to listener, EAD the
distance at which the bare source is loud enough. Source: sound-reinforcement texts.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log10

from reedwright.amp.values import Stage

IN_HAND_DB = 6.0
"""The margin the texts keep below the onset of feedback."""


@dataclass(frozen=True, slots=True)
class Feedback:
    """Decibels; `spare_db` is what is left when the needed gain is set, negative when it lacks."""

    potential_db: float
    usable_db: float
    needed_db: float

    @property
    def spare_db(self) -> float:
        return self.usable_db - self.needed_db


def feedback(stage: Stage) -> Feedback:
    """The gains of a stage plan."""
    far = stage.microphone_to_speaker_m * stage.harp_to_listener_m
    near = stage.harp_to_microphone_m * stage.speaker_to_listener_m
    potential_db = 20 * log10(far / near)
    usable_db = potential_db - IN_HAND_DB - 10 * log10(stage.open_microphones)
    return Feedback(
        potential_db, usable_db, 20 * log10(stage.harp_to_listener_m / stage.enough_at_m)
    )
