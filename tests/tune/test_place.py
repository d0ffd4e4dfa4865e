"""Licks placed on the form: against an oracle, and by hand."""

from fractions import Fraction
from itertools import pairwise

from hypothesis import given

from reedwright.tune.place import place
from reedwright.tune.read import read_tune
from tests.strategies import tunes_as_written
from tests.tune.mutations import check_score
from tests.tune.oracle import heard as oracle
from tests.tune.samples import heard, score_of

HALF = Fraction(1, 2)


@given(tunes_as_written())
def test_as_the_oracle_has_it(text: str) -> None:
    tune = read_tune(text)
    score = place(tune)
    events = [(event.start, event.length, event.sound, event.lick) for event in score.events]
    assert events == [tuple(one) for one in oracle(tune)]


@given(tunes_as_written())
def test_every_event_has_a_place_and_a_name_of_its_own(text: str) -> None:
    check_score(place(read_tune(text)))


@given(tunes_as_written())
def test_an_id_says_where_it_was_written_and_where_it_falls(text: str) -> None:
    """So the id outlives edits elsewhere: it is made of nothing else."""
    score = place(read_tune(text))
    lines = text.split("\n")
    for event in score.events:
        written, _, placed = event.id.partition("@")
        bar, cell, part = written.partition(":")[2].split(".")
        assert placed == f"{event.chorus}.{event.bar}"
        cells = [piece for piece in _cells(lines[event.line - 1]) if not piece.startswith("{")]
        assert lines[event.line - 1].startswith(f"{bar}: ")
        column = event.column - 1
        own = cells[int(cell) - 1].split("&")[int(part) - 1]
        assert lines[event.line - 1][column : column + len(own)] == own


def _cells(line: str) -> list[str]:
    text = line.partition(":")[2]
    while "{" in text:
        start, end = text.index("{"), text.index("}")
        text = text[:start] + text[end + 1 :]
    return text.split()


@given(tunes_as_written())
def test_splits_say_how_a_beat_is_counted(text: str) -> None:
    for event in place(read_tune(text)).events:
        assert event.start_split == 1 or event.start % 1 != 0
        assert (event.start * event.start_split).denominator == 1 or event.start_split == 1
        assert event.end_split == 1 or event.end % 1 != 0


def test_overlap_is_an_error_exactly_when_two_licks_want_one_beat() -> None:
    body = "Lick A\n1: 4d = = =\n\nLick B\n0: . . . 3d\n1: 2d = = =\n\nChorus\n1 A\n2 B"
    score = score_of(body)
    (finding,) = score.findings
    assert finding.found == (
        "B, placed by line 14, begins 3d while A still sounds 4d from bar 1 beat 1"
    )
    assert finding.mend == (
        "end A earlier with a rest or `to bar … beat …`, or drop the pickup of B with `from bar 1`"
    )
    assert (finding.where, finding.line, finding.column) == ("chorus 1 bar 1 beat 4", 9, 10)
    assert finding.id == "b:0.4.1@1.1"
    assert heard(score) == [("4d", 0, 3), ("3d", 3, 1), ("2d", 4, 4)]
    assert score_of(body.replace("2 B", "2 B, from bar 1")).findings == ()


def test_a_lick_that_overlaps_itself_is_told_apart() -> None:
    score = score_of("Lick A\n0: . . . 2d\n1: 4d = = =\n\nChorus\n1 A, from bar 1\n2 A")
    (finding,) = score.findings
    assert finding.found == (
        "A, placed by line 11, begins 2d while the A before it still sounds 4d from bar 1 beat 1"
    )
    assert finding.mend == (
        "end the A before it earlier with a rest or `to bar … beat …`, or drop the pickup of this "
        "one with `from bar 1`"
    )


def test_two_licks_are_told_once() -> None:
    score = score_of("Lick A\n1: 4d 4d 4d 4d\n\nLick B\n1: 2d 2d 2d 2d\n\nChorus\n1 A\n1 B")
    assert [finding.found for finding in score.findings] == [
        "B, placed by line 13, begins 2d while A still sounds 4d from bar 1 beat 1"
    ]
    assert {event.lick for event in score.events} == {"A"}


def test_a_pickup_and_where_it_is_reported() -> None:
    body = "Lick A\n0: . . . .&2d\n1: 3d = . .\n\nChorus, 2 times\n1 A"
    score = score_of(body, "Form: A7 | D7")
    assert score.has_pickup
    assert [(event.chorus, event.bar, event.beat) for event in score.events] == [
        (1, 0, Fraction(9, 2)),
        (1, 1, 1),
        (1, 2, Fraction(9, 2)),
        (2, 1, 1),
    ]
    assert [event.id for event in score.events] == [
        "a:0.4.2@1.0",
        "a:1.1.1@1.1",
        "a:0.4.2@1.2",
        "a:1.1.1@2.1",
    ]


def test_borrowed_bars_keep_the_name_of_where_they_were_written() -> None:
    body = "Lick A\n1: 4d . . .\n\nLick B\n1-2: as A\n\nChorus\n1 B\n3 A"
    score = score_of(body)
    assert [event.id for event in score.events] == [
        "a:1.1.1@1.1",
        "a:1.1.1@1.2",
        "a:1.1.1@1.3",
    ]
    assert [event.lick for event in score.events] == ["B", "B", "A"]


def test_an_ending_counts_on() -> None:
    body = "Lick A\n1: 4d . . .\n2: 3d . . .\n3: 2d = = =\n\nChorus\n1 A"
    score = score_of(body, "Form: A7 | D7")
    assert score.bars == 3
    assert [(event.chorus, event.bar) for event in score.events] == [(1, 1), (1, 2), (1, 3)]
    assert score.findings == ()


def test_events_do_not_overlap_and_run_in_time() -> None:
    score = score_of("Lick A\n1: 4d&=&3d 2d&1d = .\n2: = . . .".replace("2: =", "2: 5d"))
    assert heard(score)[0] == ("4d", 0, Fraction(2, 3))
    assert all(a.end <= b.start for a, b in pairwise(score.events))
    assert score.events[3].length == HALF + 1
