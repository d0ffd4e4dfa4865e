"""A teacher's cuts found again after an edit, and the words for those that are not."""

from reedwright.lesson.cuts import Cut, Cuts
from reedwright.lesson.cutsfile import read_cuts
from reedwright.lesson.lines import lick_lines
from reedwright.lesson.moved import Wishes, wishes
from reedwright.tune.findings import Finding, Severity
from reedwright.tune.place import Score
from tests.lesson.scores import lick, of_bars, score_of


def said(score: Score, text: str) -> tuple[dict[str, Wishes], tuple[Finding, ...]]:
    return wishes(score, lick_lines(score), read_cuts(text))


def test_a_note_is_found_by_its_id() -> None:
    score = of_bars("2d 3d 4d 5d")
    found, findings = said(score, "cut before call:1.3.1@1.1\nno cut before call:1.2.1@1.1")
    assert (found, findings) == ({"call": Wishes(frozenset({2}), frozenset({1}))}, ())


def test_a_note_is_found_where_its_lick_has_gone() -> None:
    score = score_of(lick("2d 3d 4d 5d"), "3 Call\n5 Call")
    for placing in ("1.1", "1.3", "1.5"):
        found, findings = said(score, f"cut before call:1.3.1@{placing}")
        assert (found, findings) == ({"call": Wishes(frozenset({2}))}, ())


def test_borrowed_notes_are_told_apart_by_their_placing() -> None:
    score = score_of(lick("2d 3d 4d 5d") + "\nLick Train\n1: as Call\n2: 2d . . .\n")
    found, _ = said(score, "cut before call:1.3.1@1.2")
    assert found == {"train": Wishes(frozenset({2}))}
    nowhere, findings = said(score, "cut before call:1.3.1@1.9")
    assert nowhere == {}
    assert [finding.found for finding in findings] == [
        (
            "`cut before call:1.3.1@1.9` in line 1: its note now stands in several places, and the "
            "line is left aside"
        )
    ]


def test_a_later_placing_of_a_lick_that_borrows_names_its_own_note() -> None:
    written = lick("2d 3d 4d 5d") + "\nLick Train\n1: as Call\n2: 2d . . .\n"
    score = score_of(written, "1 Call\n2 Train\n4 Train")
    found, findings = said(score, "cut before call:1.3.1@1.4")
    assert (found, findings) == ({"train": Wishes(frozenset({2}))}, ())


def test_a_note_that_has_gone_is_a_finding() -> None:
    score = of_bars("2d = 4d 5d")
    found, (finding,) = said(score, "# top\nno cut before call:1.2.1@1.1")
    assert found == {}
    assert finding == Finding(
        Severity.WARNING,
        "cuts",
        "`no cut before call:1.2.1@1.1` in line 2: its note has gone, and the line is left aside",
        "drop the line, or name another note",
        id="call:1.2.1@1.1",
    )


def test_a_cut_at_the_start_of_a_lick_is_advice() -> None:
    found, (finding,) = said(of_bars("2d 3d . ."), "cut before call:1.1.1@1.1")
    assert found == {}
    assert finding.severity is Severity.ADVICE
    assert finding.found == (
        "`cut before call:1.1.1@1.1` in line 1: its note begins Call, where a piece begins anyway"
    )
    assert (finding.lick, finding.where) == ("Call", "chorus 1 bar 1 beat 1")


def test_one_note_named_at_two_placings_is_a_finding() -> None:
    score = score_of(lick("2d 3d 4d 5d"), "1 Call\n2 Call")
    text = "cut before call:1.3.1@1.1\nno cut before call:1.3.1@1.2"
    found, (finding,) = said(score, text)
    assert found == {"call": Wishes(frozenset({2}))}
    assert finding.found == (
        "`no cut before call:1.3.1@1.2` in line 2: an earlier line names the same note at another "
        "placing"
    )


def test_an_edit_elsewhere_keeps_the_cuts() -> None:
    cuts = Cuts((Cut("call:1.3.1@1.1"),))
    before = score_of(lick("2d 3d 4d 5d") + lick("2d 2d 2d .", name="Turn"))
    after = score_of(lick("2d 3d 4d 5d") + lick("6b . . .", name="Turn"))
    assert wishes(before, lick_lines(before), cuts) == wishes(after, lick_lines(after), cuts)


def test_cuts_made_by_hand_name_no_line() -> None:
    score = of_bars("2d 3d . .")
    _, (finding,) = wishes(score, lick_lines(score), Cuts((Cut("other:1.1.1@1.1"),)))
    assert finding.found == (
        "`cut before other:1.1.1@1.1`: its note has gone, and the line is left aside"
    )
