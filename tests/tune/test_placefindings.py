"""Gaps, licks that run too far, holds that a cut has orphaned."""

from reedwright.tune.findings import Finding, Severity
from reedwright.tune.placefindings import bars_word
from tests.tune.samples import score_of

A = "Lick A\n1: 4d = = =\n2: = = 3d .\n"


def told(finding: Finding) -> tuple[str, str, str, int]:
    return finding.severity.value, finding.found, finding.where, finding.line


def test_gaps_are_named_by_bar_in_the_chorus_they_are_in() -> None:
    score = score_of(
        A + "\nChorus\n1 A\n6 rest, 2 bars\nChorus 2\n1 A\n3 A, 2 times", "Form: 8-bar"
    )
    assert [told(finding) for finding in score.findings] == [
        ("warning", "nothing is placed in bars 3 to 5", "chorus 1 bar 3 beat 1", 9),
        ("warning", "nothing is placed in bar 8", "chorus 1 bar 8 beat 1", 9),
        ("warning", "nothing is placed in bars 7 to 8", "chorus 2 bar 7 beat 1", 12),
    ]
    assert score.findings[0].mend == "place a lick there, or write `3 rest, 3 bars`"
    assert score.findings[1].mend == "place a lick there, or write `8 rest`"


def test_a_lick_past_the_end_of_its_chorus() -> None:
    score = score_of(A + "\nChorus\n1 A\n  2 A\nChorus\n1 A, 2 times", "Form: A7 | D7")
    errors = [told(one) for one in score.findings if "past" in one.found]
    assert errors == [
        ("error", "A runs 1 bar past the end of chorus 1", "chorus 1 bar 2 beat 1", 11)
    ]


def test_licks_in_a_row_may_run_on() -> None:
    score = score_of(A + "3: 3d . . .\n\nLick B\n1: 2d . . .", "Form: A7 | D7")
    assert [one.found for one in score.findings] == []
    assert [(event.chorus, event.bar) for event in score.events] == [(1, 1), (1, 2), (2, 1), (2, 2)]


def test_a_hold_that_a_cut_has_orphaned_is_told_once() -> None:
    (finding,) = score_of(A + "\nChorus\n1 A, from bar 2").findings
    assert (finding.severity, finding.found) == (Severity.WARNING, "a hold with nothing to hold")
    assert (finding.where, finding.line, finding.column) == ("chorus 1 bar 1 beat 1", 7, 4)


def test_bars_in_words() -> None:
    assert (bars_word(1), bars_word(2)) == ("1 bar", "2 bars")


def test_a_lick_that_is_played_too_often() -> None:
    body = A + "\nLick B\n1: 2d . . .\n\nChorus\n1 A, 3 times\n{} B"
    (late,) = score_of(body.format(6)).findings
    assert late.mend.endswith("or place B later, or play A fewer times")
    (early,) = score_of(body.format(1)).findings  # it meets the first A already
    assert early.mend.endswith("or place B later")
    (own,) = score_of("Lick A\n0: . . . 2d\n1: 4d = = =\n\nChorus\n1 A, twice").findings
    assert own.mend.endswith("with `from bar 1`, or play A fewer times")
    score = score_of(A + "\nChorus\n1 A, 2 times\nChorus\n1 A", "Form: A7 | D7 | A7")
    (past,) = (one for one in score.findings if "past the end" in one.found)
    assert past.mend == "cut it with `to bar …`, or place it earlier, or play it fewer times"


def test_licks_in_a_row_are_placed_by_no_line() -> None:
    (finding,) = score_of(A.replace("3d .", "3d =") + "\nLick B\n0: . . . 2d\n1: 2d . . .").findings
    assert finding.found == "B begins 2d while A still sounds 3d from bar 2 beat 3"
