"""The whole report: order, doubles, and that no tune at all can break it."""

import pytest
from hypothesis import given

from reedwright.check.check import check, in_order
from reedwright.tune.findings import Finding, Severity
from tests.check.shuffle import SHUFFLE
from tests.check.tunes import lick, score_of, tunes

IMPOSSIBLE = ("4d'' 1b+2d 1+6d 12>3d", "11b 8bo 3b* 4x6d")


def test_an_idiomatic_tune_has_nothing_to_mend() -> None:
    report = check(score_of(SHUFFLE))
    assert report.findings == ()
    assert report.ok


def test_every_impossible_sound_is_an_error_and_breaks_no_other_check() -> None:
    report = check(lick(*IMPOSSIBLE, Form="12-bar", Student="beginner"))
    errors = report.of(Severity.ERROR)
    assert len(errors) == 8
    assert not any(report.playable)
    assert not report.ok
    assert {finding.check for finding in report.findings} == {"exists", "place"}


def test_findings_stand_in_the_order_of_the_tune() -> None:
    report = check(lick("3d'' . 4d'' /4b", "3d . . .", Form="I7 | IV7", Student="improver"))
    assert [(f.bar, str(f.beat), f.check, f.severity.value) for f in report.findings] == [
        (1, "1", "level", "warning"),
        (1, "3", "exists", "error"),
        (1, "4", "exists", "warning"),
        (2, "1", "harmony", "advice"),
    ]


def test_the_worst_stands_first_at_one_place_and_doubles_are_left_out() -> None:
    advice = Finding(Severity.ADVICE, "harmony", "x", chorus=1, bar=1, line=4, column=2)
    error = Finding(Severity.ERROR, "exists", "y", chorus=1, bar=1, line=4, column=2)
    again = Finding(Severity.ADVICE, "harmony", "x", chorus=2, bar=1, line=4, column=2)
    whole = Finding(Severity.WARNING, "breath", "z")
    assert in_order([again, advice, error, whole]) == (whole, error, advice)


def test_the_findings_of_placing_are_there() -> None:
    text = SHUFFLE.replace("5 Low\n", "").replace("7 High\n", "")
    found = [(f.check, f.found) for f in check(score_of(text)).findings]
    assert ("place", "nothing is placed in bars 5 to 8") in found


@given(tunes())
def test_no_tune_breaks_it(text: str) -> None:
    score = score_of(text)
    report = check(score)
    assert len(report.tones) == len(report.playable) == len(score.events)
    written = len(text.split("\n"))
    ids = {event.id for event in score.events}
    for finding in report.findings:
        assert finding.found
        assert finding.line <= written
        assert not finding.id or finding.id in ids or finding.check == "place"
    places = [(f.chorus, f.bar, f.beat) for f in report.findings]
    assert places == sorted(places)
    assert check(score) == report


@pytest.mark.parametrize("cells", [". . . .", "2d = = ="])
def test_the_smallest_tunes(cells: str) -> None:
    assert check(lick(cells)).findings == ()
