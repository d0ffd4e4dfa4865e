"""What cannot be placed, and how long a tune may grow."""

import time

import pytest

from reedwright.errors import TuneError
from reedwright.tune.ordercheck import MAX_PLACED_BARS, MAX_PLACED_PARTS
from tests.tune.samples import HEAD, problems_of, score_of

A = "Lick A\n0: . . . 1d\n1: 4d . . .\n2: 3d . . .\n"


@pytest.mark.parametrize(
    "cut",
    ["from bar 3", "to bar 3", "bars 2-1", "from bar 1 beat 5", "to bar 1 beat 0", "bar 99999",
     "from bar 1 beat 3, to bar 1 beat 2", "from bar 2, to bar 0"],
)  # fmt: skip
def test_cuts_that_the_lick_does_not_have(cut: str) -> None:
    (found,) = problems_of(f"{A}\nChorus\n1 A, {cut}")
    assert found.startswith("a cut o")


@pytest.mark.parametrize("cut", ["from bar 0", "bar 0", "bars 0-2", "from bar 1 beat 4, to bar 2"])
def test_cuts_that_it_has(cut: str) -> None:
    assert problems_of(f"{A}\nChorus\n1 A, {cut}") == []


def test_from_bar_0_may_be_said_of_a_lick_without_a_pickup() -> None:
    body = "Lick B\n1: 4d . . .\n\nChorus\n1 B, {}"
    assert problems_of(body.format("from bar 0")) == []
    assert problems_of(body.format("to bar 0")) == ["a cut outside lick B"]


def test_a_broken_lick_is_not_called_missing() -> None:
    assert problems_of("Lick A\n1: 4d\n\nLick B\n1: as B\n\nChorus\n1 a\n2 B") == [
        "bar 1 has 1 beat cell",
        "licks that borrow from each other in a circle: B from B",
    ]


@pytest.mark.parametrize(
    "chorus",
    [
        "Chorus, 999 times\n1 A, 999 times",
        "Chorus, 999 times\n99999 A",
        "Chorus, 999 times\n1 rest, 999 bars",
        "Chorus, 999 times\n1 A\n" * 300,
    ],
)
def test_a_tune_that_would_be_endless_is_refused_at_once(chorus: str) -> None:
    started_s = time.perf_counter()
    (found, *_) = problems_of(f"{A}\n{chorus}")
    assert " bars in all" in found
    assert time.perf_counter() - started_s < 2


def test_parts_count_too() -> None:
    bar = " ".join(["&".join("." * 12)] * 4)
    body = f"Lick A\n1: {bar}\n\nChorus, 100 times\n1 A, 150 times"
    parts = 48 * 100 * 150
    assert parts > MAX_PLACED_PARTS
    assert problems_of(body) == [f"{parts} notes, rests and holds in all"]


def test_as_long_as_allowed() -> None:
    times, rest = divmod(MAX_PLACED_BARS, 500)
    assert not rest
    score = score_of(f"Lick A\n1: . . . .\n\nChorus, {times} times\n1 A, 500 times")
    assert score.bars == MAX_PLACED_BARS


def test_a_tune_that_is_too_long_is_told_at_its_longest_chorus() -> None:
    body = f"{A}\nChorus\n1 A\n\nChorus, 999 times\n1 A, 30 times\nChorus\n1 A, 4 times"
    with pytest.raises(TuneError) as caught:
        score_of(body)
    (bars, *_) = caught.value.problems
    assert body.splitlines()[bars.place.line - HEAD.count("\n") - 2] == "Chorus, 999 times"
    assert bars.found == f"{999 * 60 + 2 + 8} bars in all; {999 * 60} of them are here"
