"""Tunes, for as long as one likes: valid ones against the oracle, damaged ones for clear errors."""

import random
import time

from hypothesis import HealthCheck, Phase, given, seed, settings

from reedwright.tune.place import Score
from tests.strategies import tunes_as_written
from tests.tune.mutations import PIECES, mutated, outcome
from tests.tune.oracle import heard
from tests.tune.test_fuzz import SECONDS


def _tunes(rng: random.Random, count: int) -> list[str]:
    found: list[str] = []

    @seed(rng.getrandbits(64))
    @settings(
        max_examples=count,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(tunes_as_written())
    def collect(text: str) -> None:
        found.append(text)

    collect()
    return found


def soak_tune_valid(rng: random.Random) -> None:
    for text in _tunes(rng, 20):
        score = outcome(text)
        assert isinstance(score, Score), text
        events = [(event.start, event.length, event.sound, event.lick) for event in score.events]
        assert events == [tuple(one) for one in heard(score.tune)], text


def soak_tune_damaged(rng: random.Random) -> None:
    tunes = _tunes(rng, 5)
    for _ in range(200):
        text = mutated(rng.choice(tunes), rng.choice(tunes), rng)
        started_s = time.perf_counter()
        outcome(text)
        assert time.perf_counter() - started_s < SECONDS, text


def soak_tune_pieces(rng: random.Random) -> None:
    for _ in range(100):
        pieces = rng.choices([*PIECES, "\n", "\n", " ", " "], k=rng.randint(1, 200))
        outcome("Title: x\nHarp: C\nPosition: 2\nLick A\n" + "".join(pieces))
