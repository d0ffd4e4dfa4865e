"""Holds with nothing before them."""

import pytest

from tests.tune.samples import problems_of


@pytest.mark.parametrize(
    ("bars", "wrong"),
    [
        ("1: 4d = = =\n2: = = = =\n3: = = = =", 0),
        ("1: = = = =\n2: = 4d = =", 1),
        ("1: 4d . = =\n2: . = 4d =", 2),
        ("1: .&= 4d . .", 1),
        ("0: . . . 4d\n1: = . . .", 0),
        ("1: as A\n2: = . . .", 0),
        ("1: as Z\n2: = . . .", 1),
    ],
)
def test_runs_of_holds(bars: str, wrong: int) -> None:
    others = "Lick A\n1: . . . 4d\n\nLick Z\n1: 4d . . .\n"
    assert len(problems_of(f"{others}\nLick B\n{bars}")) == wrong


def test_a_borrowed_bar_may_begin_with_a_hold() -> None:
    body = "Lick A\n1: 4d = = =\n2: = . . .\n\nLick B\n1: 3d = = =\n2: as A, bar 2"
    assert problems_of(body) == []


def test_what_cannot_be_read_may_be_held() -> None:
    assert problems_of("Lick A\n1: 4z = 4d& =\n2: = = . =") == [
        "bar 1 beat 1: cannot read '4z'",
        "bar 1 beat 3: nothing on one side of &",
        "bar 2: a hold with nothing to hold",
    ]
