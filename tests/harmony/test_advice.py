"""Advice on harmony in its exact words, and what is left alone."""

from fractions import Fraction

import pytest
from hypothesis import given

from reedwright.harmony.advice import harmony_findings
from reedwright.tune.findings import Severity
from tests.check.shuffle import SHUFFLE
from tests.check.tunes import lick, score_of, tunes


def said(*bars: str, form: str, **header: str) -> list[tuple[str, str]]:
    findings = harmony_findings(lick(*bars, Form=form, **header))
    assert {finding.severity for finding in findings} <= {Severity.ADVICE}
    assert {finding.check for finding in findings} <= {"harmony"}
    return [(finding.found, finding.mend) for finding in findings]


SETTLE = "; or move on by a step"


@pytest.mark.parametrize(
    ("cells", "form", "found", "mend"),
    [
        (
            "3d = . .",
            "IV7",
            "3d ends a phrase over C7 (IV7): the major seventh of the root, outside the chord",
            "3d', the seventh of C7 and the blue third of the key, anywhere between 3d' and 3d, "
            "settles" + SETTLE,
        ),
        (
            "3d =&=&1d 2d .",
            "IV7",
            (
                "3d is held 1 and 2/3 beats over C7 (IV7): the major seventh of the root, "
                "outside the chord"
            ),
            "3d', the seventh of C7 and the blue third of the key, anywhere between 3d' and 3d, "
            "settles" + SETTLE,
        ),
        (
            "3d''' = . .",
            "I7",
            "3d''' ends a phrase over G7 (I7): the flat ninth of the root, outside the chord",
            "3b, the root of G7, settles" + SETTLE,
        ),
        (
            "1+2+3d . . .",
            "IV7",
            "1+2+3d over C7 (IV7): its 3d is the major seventh, outside the chord",
            "the blow chord fits here: 1+2+3b",
        ),
        (
            "1+2+3d = . .",
            "V7",
            "1+2+3d over D7 (V7) has its fourth, and neither its third nor its seventh",
            "this harp has no full D7 here; 1+4d fits",
        ),
    ],
)
def test_words(cells: str, form: str, found: str, mend: str) -> None:
    assert said(cells, form=form) == [(found, mend)]


def test_a_note_on_the_change() -> None:
    assert said("2d . . .", "3d 2b . .", form="I7 | IV7")[0][0] == (
        "3d lands on the change to C7 (IV7): the major seventh of the root, outside the chord"
    )


def test_a_note_that_hangs_over_into_a_chord_it_clashes_with() -> None:
    findings = harmony_findings(lick("2d . 3d =", "= = . .", Form="I7 | IV7"))
    assert [finding.found for finding in findings] == [
        "3d ends a phrase over C7 (IV7): the major seventh of the root, outside the chord"
    ]
    assert [(finding.bar, finding.beat) for finding in findings] == [(1, Fraction(3))]


@pytest.mark.parametrize(
    ("cells", "form"),
    [
        ("3d' = = =", "I7"),  # the blue third over the I chord
        ("4d' = = .", "I7"),  # the blue fifth
        ("5d = = .", "IV7"),  # the blue seventh over IV
        ("3d' = . .", "V7"),  # the blue third over V
        ("3d = 4b .", "IV7"),  # held, and on by a step to the root
        ("3d&2d 1d . .", "IV7"),  # short
        ("(3d) . . .", "IV7"),  # a ghost
        ("2b = = =", "I7"),  # the sixth is a colour
        ("4b = = =", "I7"),  # so is the fourth
        ("1+2+3d&1+2+3b 1+2+3d&1+2+3b 2d .", "I7"),  # chord rhythm in blows and draws
        ("1+2b&1+2+3d 1+2b&1+2+3d 2d .", "IV7"),  # draws off the beat
        ("1+2d = . .", "IV7"),  # two notes are no full chord
        ("1+2+3d = . .", ""),  # no form, no chord to clash with
        ("3d'''' = . .", "IV7"),  # what does not exist is another check's
    ],
)
def test_idiom_is_left_alone(cells: str, form: str) -> None:
    header = {"Form": form} if form else {}
    assert harmony_findings(lick(cells, **header)) == ()


def test_repeats_are_told_once() -> None:
    assert [found for found, _ in said(*["3d . . ."] * 4, form="IV7")] == [
        (
            "3d ends a phrase over C7 (IV7): the major seventh of the root, outside the chord; "
            "and 3 more like it"
        )
    ]


def test_a_file_with_signs_is_answered_in_signs() -> None:
    found, mend = said("-1,-2,-3 . . .", form="IV7", Tab="signed")[0]
    assert found.startswith("-1,2,3 over C7 (IV7): its -3 is")
    assert mend == "the blow chord fits here: 1,2,3"


def test_an_idiomatic_tune_hears_nothing() -> None:
    assert harmony_findings(score_of(SHUFFLE)) == ()


@given(tunes())
def test_any_tune_can_be_heard(text: str) -> None:
    score = score_of(text)
    for finding in harmony_findings(score):
        assert finding.found
        assert finding.mend
        assert finding.id in {event.id for event in score.events}
