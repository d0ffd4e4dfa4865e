"""Licks filled in: borrowing in chains, circles and heaps."""

import time

import pytest

from reedwright.tune.licks import MAX_LICK_BARS
from tests.tune.samples import problems_of, tune_of

BAR = "1: 4d 3d&2d 1+2d&=&. 2d''"


def chain(length: int) -> str:
    """Licks that each borrow from the next, the last one written out."""
    borrowing = [f"Lick L{n}\n1: as L{n + 1}" for n in range(1, length)]
    return "\n".join([*borrowing, f"Lick L{length}\n{BAR}"])


def gatherer(count: int, *, first: bool) -> str:
    """A lick that borrows a bar from each of many, written before or after them."""
    many = "\n".join(f"Lick L{n}\n{BAR}" for n in range(1, count + 1))
    one = "Lick All\n" + "\n".join(f"{n}: as L{n}" for n in range(1, count + 1))
    return f"{one}\n{many}" if first else f"{many}\n{one}"


def test_borrowed_bars_are_the_bars_themselves() -> None:
    tune = tune_of(
        "Lick A\n0: . . . 1d\n1: 2d . . .\n2: 3d . . .\n\n"
        "Lick B\n0: as A, bar 0\n1-4: as A\n5: 4d . . .\n6: as B2, bar 1\n\nLick B2\n1: as A, bar 2"
    )
    full = tune.licks["b"]
    assert [(bar.origin, bar.bar.number) for bar in full.bars] == [
        ("a", 0), ("a", 1), ("a", 2), ("a", 1), ("a", 2), ("b", 5), ("a", 2),
    ]  # fmt: skip
    assert (full.first, full.last) == (0, 6)
    assert list(tune.licks) == ["a", "b", "b2"]


@pytest.mark.parametrize(
    "body", [chain(10_000), gatherer(10_000, first=True), gatherer(10_000, first=False)]
)
def test_ten_thousand_licks_take_a_moment(body: str) -> None:
    started_s = time.perf_counter()
    tune = tune_of(body)
    assert len(tune.licks) >= 10_000
    assert time.perf_counter() - started_s < 10  # a second on a quiet machine; quadratic: minutes


def test_every_circle_is_named() -> None:
    body = "Lick {}\n1: as {}\n"
    pairs = ["AB", "BC", "CA", "DD", "EA"]
    assert problems_of("".join(body.format(*pair) for pair in pairs)) == [
        "licks that borrow from each other in a circle: A from B from C from A",
        "licks that borrow from each other in a circle: D from D",
    ]


def test_a_long_circle_is_shortened() -> None:
    body = "".join(f"Lick L{n}\n1: as L{(n + 1) % 10_000}\n" for n in range(10_000))
    (found,) = problems_of(body)
    assert found.endswith("L0 from L1 from L2 from … from L9999 from L0")


def test_borrowing_cannot_grow_without_bound() -> None:
    doubling = "Lick L0\n" + BAR
    doubling += "".join(f"\nLick L{n}\n1-{2**n}: as L{n - 1}" for n in range(1, 17))
    (found,) = problems_of(doubling)
    assert found == f"{sum(2**n for n in range(1, 17))} bars in the licks so far"
    assert sum(2**n for n in range(1, 16)) <= MAX_LICK_BARS


@pytest.mark.parametrize(
    ("borrow", "found"),
    [
        ("3: as A", "1 bars filled from 2"),
        ("3-5: as A", "3 bars filled from 2"),
        ("3-4: as A, bars 2-3", "lick A has bars 1 to 2, not 2 to 3"),
        ("3: as A, bar 0", "lick A has bars 1 to 2, not 0 to 0"),
        ("2: as A, bar 1", "bar 2 stands twice in this lick"),
    ],
)
def test_what_does_not_fit(borrow: str, found: str) -> None:
    body = f"Lick A\n1: . . . .\n2: . . . .\n\nLick B\n1-2: as A\n{borrow}"
    assert problems_of(body) == [found]


def test_fits_twice() -> None:
    body = "Lick A\n1: . . . .\n2: . . . .\n\nLick B\n1-4: as A\n5-6: as A, bar 2"
    assert len(tune_of(body).licks["b"].bars) == 6
