"""A teacher's plan as text and on disk: every fault in exact words, write and read the identity."""

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import LessonError
from reedwright.lesson.load import load_plan, plan_path, save_plan
from reedwright.lesson.planfile import MAX_CHARS, read_plan, write_plan
from reedwright.lesson.planlines import EACH, TUNE, Doing, PlanLine, PlanText, Speed
from reedwright.tune.values import Comment

TEXT = """\
length 12 minutes
# first the whole
hear the tune
learn Call Me, pieces 1 to 2, at 72.5, 3 times
learn Call Me, piece 3, once
join each lick, twice
band the tune, slow
band the tune, at tempo
"""
PLAN = PlanText(
    (
        Comment("first the whole"),
        PlanLine(Doing.HEAR, TUNE),
        PlanLine(Doing.LEARN, "Call Me", (1, 2), Fraction(145, 2), 3),
        PlanLine(Doing.LEARN, "Call Me", (3, 3), None, 1),
        PlanLine(Doing.JOIN, EACH, None, None, 2),
        PlanLine(Doing.BAND, TUNE, None, Speed.SLOW),
        PlanLine(Doing.BAND, TUNE, None, Speed.FULL),
    ),
    720.0,
)

names = st.from_regex(r"[A-Z][a-z]{1,8}( [0-9])?", fullmatch=True)
tempos = st.sampled_from(Speed) | st.integers(20, 400).map(Fraction) | st.just(Fraction(200, 3))
spans = st.tuples(st.integers(1, 50), st.integers(0, 50)).map(lambda pair: (pair[0], sum(pair)))


@st.composite
def lines(draw: st.DrawFn) -> PlanLine | Comment:
    if draw(st.booleans()) and draw(st.booleans()):
        return Comment(draw(names))
    doing, what = draw(st.sampled_from(Doing)), draw(st.just(TUNE) | st.just(EACH) | names)
    own = doing is Doing.LEARN and what not in (TUNE, EACH)
    pieces = draw(st.none() | spans) if own else None
    return PlanLine(doing, what, pieces, draw(st.none() | tempos), draw(st.integers(0, 100)))


wished = st.none() | st.integers(1, 86_400_000).map(lambda ms: ms / 1000)
plans = st.builds(PlanText, st.lists(lines(), max_size=8).map(tuple), wished)


def test_text_in_and_out() -> None:
    assert read_plan(TEXT) == PLAN
    assert write_plan(PLAN) == TEXT
    assert [line.line for line in read_plan(TEXT).steps] == [3, 4, 5, 6, 7, 8]
    assert read_plan("") == PlanText()
    assert write_plan(PlanText()) == ""


@given(plans)
def test_what_is_written_is_read(plan: PlanText) -> None:
    assert read_plan(write_plan(plan)) == plan


def test_spaces_capitals_and_line_ends_do_not_matter() -> None:
    loose = "\ufeffLENGTH  12  Minute\r\n\r\n  Hear   The Tune ,  AT 72\rband x,At  Tempo"
    assert read_plan(loose) == PlanText(
        (
            PlanLine(Doing.HEAR, TUNE, None, Fraction(72)),
            PlanLine(Doing.BAND, "x", None, Speed.FULL),
        ),
        720.0,
    )


def test_all_faults_are_told_in_one_go() -> None:
    text = (
        "lern Call, peces 3, slow, at 30\n  length 0 minutes\nlength 3 minutes\nlength 4 minutes\n"
        "hear\nhear the tune, piece 4\nhear X, at 9\nlearn X, pieces 3 to 2"
    )
    step = "A step is hear, learn, join or band, and then the tune, each lick, or a lick. "
    option = (
        "After a comma stands piece N, pieces N to M, slow, at tempo, at 20 to 400, once or "
        "N times. Mend: write it like `learn Call, piece 1, at 72`."
    )
    with pytest.raises(LessonError) as caught:
        read_plan(text, "a.plan")
    assert str(caught.value).split("\n") == [
        f"a.plan:1:1: 'lern'. {step}Mend: did you mean learn?",
        f"a.plan:1:12: 'peces 3'. {option}",
        (
            "a.plan:1:27: 'at 30', a second one. Pieces, tempo and times are each said once. "
            "Mend: drop one."
        ),
        (
            "a.plan:2:3: 'length 0 minutes'. The length of a lesson is a number of minutes or "
            "seconds, at most a day. Mend: write it like `length 12 minutes`."
        ),
        (
            "a.plan:4:1: a second length; line 3 names one already. A lesson has one. "
            "Mend: keep one of the two lines."
        ),
        f"a.plan:5:1: 'hear' without what. {step}Mend: write it like `learn Call, piece 1, at 72`.",
        (
            "a.plan:6:16: pieces. Pieces are named only where one lick is learned. "
            "Mend: drop them, or write `learn` and a lick."
        ),
        f"a.plan:7:9: 'at 9'. {option}",
        f"a.plan:8:10: 'pieces 3 to 2'. {option}",
    ]


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        plan = read_plan(text)
    except LessonError as error:
        places = [problem.place.line for problem in error.problems]
    else:
        places = [1]
        assert read_plan(write_plan(plan)) == plan
    assert all(places)


def test_a_huge_text_is_refused_at_once() -> None:
    with pytest.raises(LessonError, match="characters"):
        read_plan("#" * (MAX_CHARS + 1))


def test_a_file_with_nothing_but_faults_is_not_read_to_its_end() -> None:
    with pytest.raises(LessonError) as caught:
        read_plan("nonsense\n" * 5000)
    assert len(caught.value.problems) == 101


def test_beside_the_tune(tmp_path: Path) -> None:
    tune = tmp_path / "a.b.reed"
    assert plan_path(tune).name == "a.b.plan"
    assert load_plan(tune) == PlanText()
    save_plan(tune, PLAN)
    assert load_plan(tune) == PLAN
    save_plan(tune, PlanText())
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_no_text_names_its_line(tmp_path: Path) -> None:
    tune = tmp_path / "a.reed"
    plan_path(tune).write_bytes(b"hear the tune\n\xff")
    with pytest.raises(LessonError, match=r"a\.plan:2: text that is not UTF-8\. Plans are plain"):
        load_plan(tune)
