"""A student made by our own voice: a demo tune as it is played, with faults planted in it.

Conventions: samples at 48 kHz from the first sample of the count-in; late is positive. A slurred
note cannot be moved by itself, nor its neighbour; faults are planted elsewhere.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from reedwright.lesson.as_json import lesson_json
from reedwright.lesson.study import study
from reedwright.performance.perform import perform
from reedwright.performance.play import play
from reedwright.performance.playing import Attack, Curve, Played, Playing
from reedwright.tune.load import load_tune
from reedwright.tune.place import Score, place
from reedwright.voice.stem import voice_stem

DEMO = Path(__file__).parents[2] / "demo"


@dataclass(frozen=True)
class Fault:
    """What a student does otherwise at one note; `left_out`: nothing at all."""

    cents: float = 0.0
    late_s: float = 0.0
    left_out: bool = False


def score_of(name: str) -> Score:
    return place(load_tune(DEMO / f"{name}.reed"))


def lesson_of(name: str) -> dict[str, Any]:
    """The lesson as the page reads it."""
    lesson: dict[str, Any] = json.loads(json.dumps(lesson_json(study(score_of(name)))))
    return lesson


def played_by(name: str, tempo_bpm: Fraction, human: float = 0.0) -> Played:
    return play(perform(place(load_tune(DEMO / f"{name}.reed")), tempo_bpm), human=human)


def with_faults(played: Played, faults: Mapping[str, Fault]) -> Played:
    """The same playing but for the faults, by event id."""
    kept = [one for one in played.playings if not faults.get(one.id, Fault()).left_out]
    return replace(
        played, playings=tuple(_changed(one, faults.get(one.id, Fault())) for one in kept)
    )


def _changed(one: Playing, fault: Fault) -> Playing:
    curve = one.pitch_cents
    return replace(
        one,
        played_s=one.played_s + fault.late_s,
        pitch_cents=Curve(curve.times_s, tuple(value + fault.cents for value in curve.values)),
    )


def movable(played: Played) -> list[str]:
    """Ids of single notes of a good length that no slur ties to another."""
    ids = []
    ends = [*played.playings[1:], None]
    for one, after in zip(played.playings, ends, strict=True):
        tied = one.attack is not Attack.TONGUE or (
            after is not None and after.attack is Attack.SLUR
        )
        marked = bool(one.timed.event.sound.marks) or one.other is not None
        if len(one.reeds) == 1 and not tied and not marked and one.length_s > 0.3:
            ids.append(one.id)
    return ids


def sound_of(played: Played, room_dbfs: float = -65.0) -> NDArray[np.float32]:
    """The student in a room that hisses a little (a fixed seed)."""
    stem = voice_stem(played)
    hiss = np.random.default_rng(4).normal(0, 10 ** (room_dbfs / 20), len(stem))
    return (stem + hiss).astype(np.float32)
