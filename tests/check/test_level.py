"""What is beyond a student, in its exact words."""

from hypothesis import given

from reedwright.check.exists import existence
from reedwright.check.level import level_findings
from reedwright.tune.techniques import techniques_of
from tests.check.tunes import lick, score_of, tunes


def said(*bars: str, **header: str) -> list[tuple[str, str]]:
    findings = level_findings(lick(*bars, **header))
    assert {(f.severity.value, f.check) for f in findings} <= {("warning", "level")}
    return [(finding.found, finding.mend) for finding in findings]


def test_each_technique_is_told_once_with_what_to_learn_first() -> None:
    assert said("3d''&2d'' 3d'' . 4d'", Student="improver") == [
        (
            "beyond the student so far: whole-step bend on 3 draw, asked for 2 times, first here",
            (
                "learn first: half-step bend on 2 draw, half-step bend on 3 draw; or give the "
                "student an easier note here"
            ),
        ),
        (
            "beyond the student so far: whole-step bend on 2 draw, asked for here",
            "learn first: half-step bend on 2 draw; or give the student an easier note here",
        ),
    ]


def test_a_technique_whose_needs_are_all_there() -> None:
    assert said("4dv . . .", Student="improver") == [
        (
            "beyond the student so far: throat vibrato, asked for here",
            "learn it on its own first, or give the student an easier note here",
        )
    ]


def test_nothing_is_beyond_who_can_do_it_or_is_not_named() -> None:
    assert said("3d'' 6bo . .", Student="expert") == []
    assert said("3d'' 6bo . .") == []
    assert said("4dv . . .", Student="improver", Can="throat vibrato") == []


def test_a_technique_taken_back() -> None:
    found = said("1+2d . . .", Student="expert", Not_yet="chord rhythm")
    assert [found for found, _ in found] == [
        "beyond the student so far: chord rhythm, asked for here"
    ]


@given(tunes())
def test_exactly_what_the_student_cannot_do(text: str) -> None:
    score = score_of(text)
    events = [e for e, fine in zip(score.events, existence(score).playable, strict=True) if fine]
    asked = {t for event in events for t in techniques_of(event.sound, score.tune.harp)}
    reduced = type(score)(score.tune, score.order, tuple(events), ())
    assert len(level_findings(reduced)) == len(asked - score.tune.abilities)
