"""What the lesson room needs to know of a recording: how long it is, and where the tune lies in it.

Conventions: seconds from the first sample of the file as it decodes. `tune_offset_s` added to a
moment of the whole performance (count-in first) gives the moment in the file; in a loop the sum is
taken modulo one round. Bars count from 0 at bar 1 of the first chorus. Nothing here opens a file:
the values are those a pack's manifest keeps of each recording (`made`, see docs/recordings.md).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from reedwright.errors import LessonError, Problem
from reedwright.harp.pitch import shown

STUDENTS = frozenset({"backing", "drone", "click"})
"""Kinds of recordings in which no harp is heard: what there is to play is the student's."""

_MOST_S = 360_000.0  # 100 hours: longer than captions can say
_MOST_RATE_HZ = 768_000  # no sound card is faster


@dataclass(frozen=True, slots=True)
class Heard:
    """One recording of a tune.

    `kind`: as in its name (`demo`, `backing`, `loop` …); `lick`: slug, empty for the whole tune;
    `part`: of a stem or the student's page, else empty; `event_ids`: which sounds the harp plays,
    all that lie in it for None; `seed`, `human`: how it was played.
    """

    path: str
    kind: str
    title: str
    tempo_bpm: Fraction
    harp_name: str
    lick: str
    part: str
    first_bar: int
    bars: int
    loops: bool
    rounds: int
    samples: int
    rate_hz: int
    count_in_s: float
    tune_offset_s: float
    seed: int = 0
    human: float = 1.0
    event_ids: frozenset[str] | None = None

    def __post_init__(self) -> None:
        times = (self.count_in_s, self.tune_offset_s, self.human)
        fine = all(map(math.isfinite, times)) and 0 < self.rate_hz <= _MOST_RATE_HZ
        if not fine or self.samples < 0 or self.rounds < 1 or self.tempo_bpm <= 0 or self.bars < 0:
            raise LessonError(_unread(self.path, "numbers that no recording has"))
        if self.length_s > _MOST_S:
            raise LessonError(_unread(self.path, f"{self.length_s / 3600:.0f} hours"))

    @property
    def length_s(self) -> float:
        """Of the whole file, every round of a loop included."""
        return self.samples / self.rate_hz

    @property
    def round_s(self) -> float:
        """Of one round; the whole file where nothing goes round."""
        return self.length_s / self.rounds

    @property
    def counted(self) -> bool:
        """Whether a count-in is heard at its start."""
        return not self.loops and not self.part


def heard_of(
    path: str,
    made: Mapping[str, Any],
    event_ids: frozenset[str] | None = None,
    rate_hz: int = 48_000,
) -> Heard:
    """A recording from what the manifest says of it.

    `event_ids`: the sounds of the harp in it, from the recording that was planned; None for all.
    `rate_hz`: that of every recording of a pack. Errors: LessonError for a manifest that was
    edited.
    """
    try:
        return Heard(
            path=path,
            kind=str(made["kind"]),
            title=str(made["title"]),
            tempo_bpm=Fraction(made["tempo_bpm"]),
            harp_name=_harp_name(made["harp"]),
            lick=str(made["lick"]),
            part=str(made["part"]),
            first_bar=int(made["first_bar"]),
            bars=int(made["bars"]),
            loops=made["loops"] is True,
            rounds=int(made["rounds"]),
            samples=int(made["samples"]),
            rate_hz=rate_hz,
            count_in_s=float(made["count_in_s"]),
            tune_offset_s=float(made["tune_offset_s"]),
            seed=int(made.get("seed", 0)),
            human=float(made.get("human", 1.0)),
            event_ids=event_ids,
        )
    except LessonError:
        raise
    except KeyError as error:
        raise LessonError(_unread(path, f"no {error.args[0]}")) from None
    except (ValueError, TypeError, AttributeError, ArithmeticError) as error:
        raise LessonError(_unread(path, str(error))) from None


def _harp_name(harp: Mapping[str, str]) -> str:
    """As `Harp.name` says it, from the harp's JSON: a tuning of the teacher's own need not be
    known here."""
    register = "" if harp["variant"] == "standard" else harp["variant"] + " "
    tuning = "" if harp["tuning"] == "Richter" else " " + harp["tuning"]
    return f"{register}{harp['key']}{tuning}"


def _unread(path: str, what: str) -> Problem:
    return Problem(
        f"{shown(path)}: how it was made is not written as it should be ({what})",
        "A recording is described by the program that made it",
        "make the pack again",
    )
