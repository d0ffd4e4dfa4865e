"""A grammar-aware fuzz: whatever is done to a tune, it is a tune or one clear error, soon.

The longer one is `tests/soak_tune.py`.
"""

import random
import time

from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import TuneError
from reedwright.tune.place import Score
from tests.strategies import tunes_as_written
from tests.tune.mutations import PIECES, mutated, outcome

SECONDS = 2.0
"""A damaged tune of a page takes milliseconds; this leaves room for a busy machine."""


@given(tunes_as_written())
def test_a_valid_tune_is_a_tune(text: str) -> None:
    assert isinstance(outcome(text), Score)


@given(tunes_as_written(), tunes_as_written(), st.randoms(use_true_random=False))
def test_a_damaged_tune_is_a_tune_or_a_clear_error(
    text: str, other: str, rng: random.Random
) -> None:
    damaged = mutated(text, other, rng)
    started_s = time.perf_counter()
    outcome(damaged)
    assert time.perf_counter() - started_s < SECONDS


@given(st.text(max_size=300))
def test_any_text_at_all(text: str) -> None:
    outcome(text)


@given(st.lists(st.sampled_from(PIECES), max_size=40).map(" ".join))
def test_any_heap_of_pieces(text: str) -> None:
    outcome("Title: x\nHarp: C\nPosition: 2\nLick A\n" + text)


def test_the_fuzz_meets_both_outcomes() -> None:
    text = "Title: x\nHarp: C\nPosition: 2\n\nLick A\n1: 4d = 3d&2d .\n\nChorus\n1 A\n"
    rng = random.Random(7)
    found = [outcome(mutated(text, text, rng)) for _ in range(300)]
    errors = sum(isinstance(one, TuneError) for one in found)
    assert 30 < errors < 290
