"""What a teacher is told, at its exact words, and that what is advised is true."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.breath.findings import breath_findings
from reedwright.breath.judgement import verdict
from reedwright.breath.ledger import Segment, keep_ledger
from reedwright.breath.lungs import CAUTION, Limits
from reedwright.breath.of_tune import breath_of, segments
from reedwright.breath.spot import Fit, Spot, best_spot
from reedwright.breath.words import bar_words
from reedwright.errors import SettingError
from reedwright.performance.perform import perform
from reedwright.tune.findings import Severity
from reedwright.tune.load import load_tune
from reedwright.tune.place import Score, place
from tests.breath.cases import LUNGS, near, note
from tests.breath.tunes_for_breath import bars, random_score, score_of, slowest

DEMO = Path(__file__).parents[2] / "demo"
SCORES = st.integers(0, 2**32 - 1).map(random_score)
CHORDS = "1+2+3d 1+2+3d 1+2+3d 1+2+3d"


def told(score: Score) -> list[tuple[str, str, str]]:
    return [(each.severity.value, each.found, each.mend) for each in breath_findings(score)]


def spot_of(score: Score, limits: Limits | None = None) -> Spot:
    """The best spot for the first failure at the slowest tempo."""
    air = segments(score, slowest(score))
    judged = verdict(air, LUNGS, limits or LUNGS.hard)
    assert judged.mend is not None
    assert judged.mend.rest is not None
    return best_spot(judged.mend.rest, judged.ledger, air, LUNGS, score)


def test_eight_bars_of_loud_draw_chords_need_breaths() -> None:
    """By hand: 0.72 litres a beat from empty; the seventh chord passes 4.8 by 0.24 litres, which
    takes 0.16 s to let out. A whole breath then lasts 6 chords."""
    score = score_of("Lick Train (loud)\n" + bars(CHORDS, 8))
    (found,) = breath_findings(score)
    assert (found.severity, found.check) == (Severity.WARNING, "breath")
    assert (found.chorus, found.bar, found.beat, found.lick) == (1, 2, Fraction(3), "Train")
    assert (found.id, found.line) == ("train:2.3.1@1.2", 8)
    assert found.found == "at 60 beats a minute you are full by bar 2, however you breathe"
    assert found.mend == (
        "add a rest of 0.2 seconds (half a beat) after the note on bar 1 beat 4, the last of its "
        "bar, and breathe out there. With 1.6 seconds (2 beats) there you get to bar 3 beat 3. "
        "In all, 5 deep breaths are enough, before bar 2 beat 3, bar 4 beat 1, bar 5 beat 3, "
        f"bar 7 beat 1 and bar 8 beat 3. {CAUTION}"
    )


def test_a_blow_run_runs_empty() -> None:
    """By hand: three reeds blown very loud take 1.056 litres a second, four beats 4.224; full
    lungs hold 4.8, so the second bar runs empty 0.55 s after its start."""
    score = score_of("Lick A (very loud)\n" + bars("1+2+3b = = =", 2))
    assert told(score) == [
        (
            "warning",
            "at 60 beats a minute you are empty by bar 2, however you breathe",
            (
                "add a rest of 2.5 seconds (2½ beats) after the note on bar 1 beat 1, "
                "the last of its "
                f"bar, and breathe in there. {CAUTION}"
            ),
        )
    ]


def test_what_is_only_uncomfortable_is_advice() -> None:
    """By hand: 0.2 litres a beat from 0.6 to 4.0 last 17 beats."""
    score = score_of("Lick A\n" + bars("2d 3d 4d 3d", 5))
    assert told(score) == [
        (
            "advice",
            "at 60 beats a minute you are fuller than is comfortable by bar 5",
            (
                "add a rest of 0.2 seconds (half a beat) after the note on bar 4 beat "
                "4, the last of "
                "its bar, and breathe out there. With 0.4 seconds (half a beat) there "
                "you get to the "
                f"end. {CAUTION}"
            ),
        )
    ]


def test_blowing_below_comfort_is_advice() -> None:
    score = score_of("Lick A\n" + bars("2b 3b 4b 3b", 5))
    assert [each[:2] for each in told(score)] == [
        ("advice", "at 60 beats a minute you are emptier than is comfortable by bar 5")
    ]


def test_each_tempo_is_judged_and_the_slow_one_needs_more_air() -> None:
    lick = "Lick A\n" + bars("2d 3d 4d 3d", 8)
    score = score_of(lick, tempo="60, 80, 104, 160")
    found = breath_findings(score)
    assert [(each.severity.value, each.found.split(" beats")[0]) for each in found] == [
        ("advice", "at 104"),
        ("advice", "at 80"),
        ("warning", "at 60"),
    ]
    assert [CAUTION in each.mend for each in found] == [True, False, False]
    assert breath_findings(score, (Fraction(160),)) == ()
    (only,) = breath_findings(score, (Fraction(60), Fraction(60)))
    assert only.mend == f"{found[2].mend} {CAUTION}"


def test_a_rest_already_there_is_lengthened() -> None:
    """By hand: 0.54 litres a beat, 6.5 beats, 0.5625 out in the rest, then 1.8525 litres of room
    for 3.4 beats; the fourth is 0.3075 litres too much, 0.205 s of breath."""
    score = score_of(
        f"Lick A (loud)\n1: {CHORDS}\n\nLick B (loud)\n1: 1+2+3d 1+2+3d 1+2+3d&. 1+2+3d\n",
        "1 A\n2 B\n3 A, 2 times\n\nChorus\n1 B",
        tempo="80",
    )
    ((_, found, mend),) = told(score)
    assert found == "at 80 beats a minute you are full by bar 3 of chorus 1, however you breathe"
    assert mend.startswith(
        "lengthen the rest after the note on bar 2 beat 3 of chorus 1 by 0.3 seconds (half a beat)"
        " and breathe out there. With"
    )


def test_the_end_of_a_lick_comes_before_a_bar_line() -> None:
    loud = "(loud)\n1: 1+2+3d = = =\n"
    score = score_of(f"Lick Call {loud}\nLick Train {loud}2: 1+2+3d = = =\n", "1 Call\n2 Train")
    assert spot_of(score).fit is Fit.LICK
    assert "beat 1, where Call ends, and breathe out" in told(score)[0][2]
    score = score_of(f"Lick Call {loud}", "1 Call, 2 times")
    assert spot_of(score).fit is Fit.LICK  # the same lick once more


def test_without_phrase_or_bar_line_the_nearest_note_is_named() -> None:
    score = score_of("Lick A (very loud)\n1: 1+2+3+4d 1+2+3+4d 1+2+3+4d 1+2+3+4d\n")
    spot = spot_of(score)
    assert (spot.fit, spot.event) == (Fit.NOTE, 2)
    assert "after the note on bar 1 beat 3 and breathe out there" in told(score)[0][2]


def test_the_count_in_is_the_last_resort() -> None:
    """Lungs that let out very little: 2.6 litres are left after four seconds of count-in, and
    four reeds drawn loudly for three seconds bring 2.79: 0.59 too much, 5.9 s."""
    head = "Lungs: breathe out 0.1, start 3"
    score = score_of("Lick A (loud)\n1: 1+2+3+4d = = .\n", head=head)
    ((severity, _, mend),) = told(score)
    assert severity == "warning"
    assert mend == f"breathe out for 5.9 seconds (6 beats) more before you begin. {CAUTION}"


def test_a_note_too_long_for_any_breath() -> None:
    """By hand: five reeds drawn very loud take 1.672 litres a second; 4.8 litres last 2.87 s."""
    score = score_of("Lick A (very loud)\n1: 1+2+3+4+5d = = .\n2: 1+2+3+4+5d = = .\n")
    assert told(score) == [
        (
            "warning",
            "at 60 beats a minute you are full by bar 1, however you breathe",
            (
                "no breath helps, since a full one lasts 2.8 seconds on this sound: "
                "write it shorter "
                "or softer, or with fewer holes. Too long for any breath: bar 1 beat 1 and bar 2 "
                f"beat 1. {CAUTION}"
            ),
        )
    ]


def test_a_note_too_long_for_a_comfortable_breath() -> None:
    """By hand: four reeds drawn loudly take 0.93 litres a second; 3.4 litres last 3.66 s."""
    ((severity, _, mend),) = told(score_of("Lick A (loud)\n1: 1+2+3+4d = = =\n"))
    assert severity == "advice"
    assert mend.startswith("no breath helps, since a comfortable one lasts 3.6 seconds on this")


@pytest.mark.parametrize(
    ("start_l", "change"),
    [("1.1", "end the sound 0.5 seconds sooner"), ("1.2", "leave the sound out")],
)
def test_lungs_that_cannot_let_air_out(start_l: str, change: str) -> None:
    """By hand: six bars bring 3.6 litres, so 0.1 or nothing is left for the next note of 0.2."""
    head = f"Lungs: breathe out 0, start {start_l}"
    score = score_of("Lick A\n" + bars("2d 3d 4d .", 9), head=head)
    assert told(score) == [
        (
            "warning",
            "at 60 beats a minute you are full by bar 7, however you breathe",
            (
                "no rest helps, since these lungs cannot breathe out in time: "
                f"{change}, or mend the "
                f"`Lungs:` line. {CAUTION}"
            ),
        )
    ]


def test_long_lists_are_cut() -> None:
    score = score_of("Lick A (very loud)\n" + bars("1+2+3b = = =", 9))
    assert "In all, 8 deep breaths are enough, before bar 2 beat 1, " in told(score)[0][2]
    assert "bar 7 beat 1 and 2 more." in told(score)[0][2]


def test_the_bar_named_is_the_one_where_the_air_ends_not_where_the_note_began() -> None:
    score = score_of("Lick A (loud)\n1: 1+2+3d = = =\n2: = = = =\n")
    (found,) = breath_findings(score)
    assert (found.bar, found.found.split(", ")[0]) == (
        1,
        "at 60 beats a minute you are full by bar 2",
    )


def test_a_pickup_is_called_by_its_name() -> None:
    score = score_of("Lick A\n0: . . . .&2d\n1: 2d . . .\n")
    assert bar_words(score, 3.6, Fraction(60)) == "the pickup"
    assert bar_words(score, 4.1, Fraction(60)) == "bar 1"


def test_ordinary_bars_raise_no_alarm() -> None:
    twelve = "Lick A (loud)\n1: 2d 3d'&3d 4d .\n2: 5d&4d 3d'&2d 2d .\n"
    assert breath_findings(score_of(twelve, "1 A, 6 times", tempo="60, 80, 104")) == ()


def test_notes_no_harp_has_are_counted_as_written() -> None:
    score = score_of("Lick A (loud)\n" + bars("5d''' 7d' 1+9d 6do", 8))
    (found,) = breath_findings(score)
    assert found.severity is Severity.WARNING


def test_faults_of_the_lungs_line_are_raised() -> None:
    with pytest.raises(SettingError, match=r"start is 99\.0"):
        breath_findings(score_of("Lick A\n1: 2d . . .\n", head="Lungs: start 99"))


@pytest.mark.parametrize("path", sorted(DEMO.glob("*.reed")), ids=lambda path: path.stem)
def test_the_demo_tunes_can_be_breathed_in_comfort(path: Path) -> None:
    score = place(load_tune(path))
    assert breath_findings(score) == ()
    for tempo_bpm in score.tune.tempos_bpm:
        assert breath_of(score, tempo_bpm).judgement.comfortable.feasible


@given(SCORES, st.booleans())
def test_findings_agree_with_the_judgement(score: Score, small: bool) -> None:
    if small:
        tune = replace(score.tune, lungs=(("vital capacity", "1.0"),))
        score = replace(score, tune=tune)
    found = {each.found.split(" ")[1]: each for each in breath_findings(score)}
    for tempo_bpm in score.tune.tempos_bpm:
        judged = breath_of(score, tempo_bpm).judgement
        finding = found.pop(f"{float(tempo_bpm):g}", None)
        assert (finding is None) is judged.comfortable.feasible
        if finding is not None:
            assert (finding.severity is Severity.WARNING) is not judged.hard.feasible
            failed = (judged.comfortable if judged.hard.feasible else judged.hard).ledger.failure
            assert failed is not None
            assert finding.id == failed.label
            assert f"{failed.side}" in finding.found or f"{failed.side[:4]}" in finding.found
    assert not found


@given(SCORES)
def test_the_bar_is_the_one_of_the_bar_lines(score: Score) -> None:
    """Oracle: the bar lines of the performance."""
    played = perform(score, slowest(score))
    for line, following in zip(played.bar_lines, played.bar_lines[1:], strict=False):
        middle_s = (line.score_s + following.score_s) / 2
        named = f"bar {line.bar} of chorus {line.chorus}"
        assert bar_words(score, middle_s, slowest(score)) == named


@given(SCORES, st.floats(0.3, 1.2))
def test_the_advised_rests_are_enough_and_no_less_is(score: Score, capacity_l: float) -> None:
    """Oracle: the ledger of the tune with the rest put in."""
    air = segments(score, slowest(score))
    limits = Limits(0.0, LUNGS.start_l + capacity_l)
    judged = verdict(air, LUNGS, limits)
    if judged.mend is None or judged.mend.rest is None:
        return
    spot = best_spot(judged.mend.rest, judged.ledger, air, LUNGS, score)
    failed = judged.mend.failure.index
    assert reached(air, spot.index, spot.least_s, limits) > failed
    assert reached(air, spot.index, spot.least_s - 1e-6, limits) == failed
    whole = len(air) if spot.reach is None else spot.reach
    assert reached(air, spot.index, spot.carrying_s, limits) == whole
    assert reached(air, spot.index, 1_000.0, limits) == whole
    if spot.carrying_s > spot.least_s:
        assert reached(air, spot.index, spot.carrying_s - 1e-6, limits) < whole


def reached(air: tuple[Segment, ...], index: int, rest_s: float, limits: Limits) -> int:
    """How many of the tune's own segments can be over, with a rest after one of them."""
    with_rest = [*air[: index + 1], note("open", max(rest_s, 0.0)), *air[index + 1 :]]
    return len(keep_ledger(with_rest, LUNGS, limits).low_l) - 2


def test_the_least_rest_is_that_of_the_mend() -> None:
    score = score_of("Lick Train (loud)\n" + bars(CHORDS, 8))
    assert spot_of(score).least_s == near(0.16)
