"""Findings at an event, and repeats told once."""

from fractions import Fraction

from reedwright.tune.findings import Finding, Severity
from reedwright.tune.gathering import Hit, finding_at, gathered
from reedwright.tune.place import place
from reedwright.tune.read import read_tune

TUNE = "Title: T\nHarp: C\nPosition: 2\nLick Call\n1: 2d . .&3d .\n"


def finding(words: str) -> Finding:
    return Finding(Severity.ADVICE, "moves", words)


def test_a_finding_stands_where_its_event_does() -> None:
    event = place(read_tune(TUNE)).events[1]
    made = finding_at(event, Severity.WARNING, "level", "found", "mend")
    assert (made.severity, made.check, made.found, made.mend) == (
        Severity.WARNING,
        "level",
        "found",
        "mend",
    )
    assert (made.id, made.lick, made.chorus, made.bar) == ("call:1.3.2@1.1", "Call", 1, 1)
    assert (made.beat, made.line, made.column) == (Fraction(7, 2), 5, 11)


def test_each_kind_is_told_once_in_the_order_met() -> None:
    hits = [Hit("a", finding("x")), Hit("b", finding("y")), Hit("a", finding("z"))]
    assert [found.found for found in gathered(hits)] == ["x; and 1 more like it", "y"]
    assert gathered([]) == ()
