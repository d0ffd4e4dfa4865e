"""Lines that name a lick, as said aloud."""

import pytest

from reedwright.tune.entries import read_borrow, read_entry, with_commas
from reedwright.tune.reading import Reading
from reedwright.tune.values import Borrow, Entry


@pytest.mark.parametrize(
    ("text", "entry"),
    [
        ("1 Call", Entry(1, "Call")),
        ("1:  Call  2", Entry(1, "Call 2")),
        ("5 Answer, from bar 1", Entry(5, "Answer", from_bar=1)),
        ("5 Answer , FROM  BAR 1 beat 3,to bar 2 Beat 1", Entry(5, "Answer", 1, 3, 2, 1)),
        ("3 Train, 5 times", Entry(3, "Train", times=5)),
        ("3 Train, twice, bar 2", Entry(3, "Train", from_bar=2, to_bar=2, times=2)),
        ("3 Train, bars 1–2", Entry(3, "Train", from_bar=1, to_bar=2)),
        ("9 rest", Entry(9, "")),
        ("9 Rest, 4 bars", Entry(9, "", times=4)),
        ("00012 12", Entry(12, "12")),
    ],
)
def test_entries(text: str, entry: Entry) -> None:
    reading = Reading()
    assert read_entry(text, 3, 1, reading) == entry
    assert reading.problems == []


@pytest.mark.parametrize(
    ("text", "column"),
    [
        ("Call 1", 4), ("1", 4), ("1,Call", 4), ("1 (Call)", 6), ("100000 Call", 4),
        ("1 Call,  from two", 13), ("1 Call, bar 1, bar 2", 19), ("1 Call, 0 times", 12),
        ("1 Call, 5 bars", 12), ("1 rest, from bar 1", 12), ("1 Call,", 11), ("1 Ca\u200bll", 6),
        ("١ Call", 4), ("1 Call, ٢ times", 12), ("1 Call, " + "9" * 400 + " times", 12),
    ],
)  # fmt: skip
def test_columns_of_faults(text: str, column: int) -> None:
    reading = Reading("x")
    read_entry(text, 3, 4, reading)
    assert [str(problem.place) for problem in reading.problems] == [f"x:3:{column}"]


@pytest.mark.parametrize(
    ("text", "borrow"),
    [
        ("as Call", Borrow(3, 4, "Call")),
        ("AS  Call  2 ,  bars 1 - 2", Borrow(3, 4, "Call 2", 1, 2)),
        ("as Call, bar 0", Borrow(3, 4, "Call", 0, 0)),
        ("as Call,bars 1–2", Borrow(3, 4, "Call", 1, 2)),
    ],
)
def test_borrowed_bars(text: str, borrow: Borrow) -> None:
    reading = Reading()
    assert read_borrow((3, 4), text, (1, 1, 6), reading) == borrow
    assert reading.problems == []


@pytest.mark.parametrize("text", ["as", "as Call, bar", "as Call, bars 2-1", "as ,", "4d . . ."])
def test_no_borrowing(text: str) -> None:
    reading = Reading()
    assert read_borrow((3, 4), text, (1, 1, 6), reading) is None
    assert len(reading.problems) == 1


def test_commas_are_put_where_they_are_missing() -> None:
    names = {"answer", "take-2-times"}
    assert with_commas("Answer twice", names) == "Answer, twice"
    assert with_commas("answer from bar 1 to bar 2 beat 3 2 times", names) == (
        "answer, from bar 1, to bar 2 beat 3, 2 times"
    )
    assert with_commas("Rest 4 bars", names) == "Rest, 4 bars"
    for words in ("Answer", "Other twice", "Answer twice and more", "twice", "Answer bar"):
        assert with_commas(words, names) == ""
