"""What the teacher films: one take after another, with what is said, played and left for an answer.

Conventions: seconds. A take is a silence to get ready, what is said, and then rounds of playing,
each with room for the student to answer. Playing lasts as long as the recording it follows, or, of
a piece, as long as its count-in and its notes at the recording's tempo; `guessed` where there is no
recording and the time is counted from the beats. Speaking time comes from words and sentences.
Source: the pace of speech is common practice (`data/plan.toml`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from reedwright.lesson.plantable import PlanTable


class StepKind(StrEnum):
    """What a step of the lesson is for; the sections of `plan.toml`."""

    HEAR = "hear"
    LEARN = "learn"
    JOIN = "join"
    SLOW = "slow"
    FULL = "full"


@dataclass(frozen=True, slots=True)
class Take:
    """One take.

    `play_s`, `turn_s`: of one round; `least`: rounds that are left at least when time is short;
    `worth`: what is lost without it, in notes of practice effort; `paths`: recordings to follow,
    the one it is timed by first.
    """

    id: str
    title: str
    kind: StepKind
    tempo_bpm: Fraction
    piece_ids: tuple[str, ...]
    paths: tuple[str, ...]
    words: int
    ready_s: float
    talk_s: float
    play_s: float
    turn_s: float
    rounds: int
    least: int
    worth: float
    guessed: bool

    @property
    def round_s(self) -> float:
        return self.play_s + self.turn_s

    @property
    def length_s(self) -> float:
        return self.lasting_s(self.rounds)

    def lasting_s(self, rounds: int) -> float:
        """How long it is with so many rounds; nothing without any."""
        return self.ready_s + self.talk_s + rounds * self.round_s if rounds else 0.0

    def lost(self, rounds: int, fade: float) -> float:
        """What is lost with fewer rounds: each further round is worth `fade` of the one before.

        Convex, and the whole worth for none.
        """
        return self.worth * (1 - (1 - fade**rounds) / (1 - fade**self.rounds))


def spoken_s(sentences: Sequence[str], table: PlanTable) -> tuple[int, float]:
    """How many words some sentences have, and how long it takes to say them."""
    count = sum(len(sentence.split()) for sentence in sentences)
    talk = table["talk"]
    return count, count * talk["word-s"] + len(sentences) * talk["sentence-s"]


def guessed_s(words: int, table: PlanTable) -> float:
    """How long it takes to say words that are not written yet; none take no time."""
    talk = table["talk"]
    return words * talk["word-s"] + (talk["sentence-s"] if words else 0.0)
