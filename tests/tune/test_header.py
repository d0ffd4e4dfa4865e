"""The header as a whole: values that depend on each other."""

from fractions import Fraction

import pytest

from reedwright.errors import Problem, TuneError
from reedwright.harp.harp import Variant
from reedwright.tune.header import KEYS
from reedwright.tune.read import read_tune
from reedwright.tune.techniques import ladder
from reedwright.tune.tune import Tune

LICK = "\nLick A\n1: . . . .\n"


def tune(*lines: str) -> Tune:
    return read_tune("\n".join(["Title: T", *lines]) + LICK)


def found(*lines: str) -> list[str]:
    with pytest.raises(TuneError) as caught:
        tune(*lines)
    return [problem.found for problem in caught.value.problems]


def test_what_stands_when_nothing_is_said() -> None:
    plain = tune("Harp: C", "Position: 1")
    assert (plain.meter.beats, plain.feel.name, plain.count_in_bars) == (4, "straight", 1)
    assert plain.tempos_bpm == (Fraction(100),)
    assert plain.abilities == frozenset(ladder().techniques)
    assert (plain.key_name, plain.minor, plain.form.bars, plain.signed) == ("C", False, (), False)


@pytest.mark.parametrize("harp", ["A natural minor", "a Natural Minor"])
def test_a_tuning_may_stand_with_the_harp_or_apart(harp: str) -> None:
    together, apart = (
        tune(f"Harp: {harp}", "Key: Am"),
        tune("Harp: A", "Tuning: natural minor", "Position: 2"),
    )
    assert together.harp == apart.harp
    assert together.position == apart.position == 2
    assert together.key_name == apart.key_name == "A minor"


def test_key_or_position() -> None:
    assert tune("Harp: A", "Key: E").position == 2
    assert tune("Harp: low F", "Position: third", "Key: G").harp.variant is Variant.LOW
    assert found("Harp: A", "Position: 1", "Key: E") == ["key E with position 1"]
    assert found("Harp: A") == ["no Position"]


def test_minor_is_what_the_form_says_or_else_the_key_or_else_the_harp() -> None:
    assert tune("Harp: A", "Position: 2", "Form: 12-bar minor").minor
    assert tune("Harp: A", "Key: E minor").fifths == 1
    assert tune("Harp: A", "Key: Em", "Form: A | B7").minor  # no chord on E
    assert tune("Harp: C", "Position: 3").key_name == "D minor"
    assert tune("Harp: C", "Position: 3", "Key: D major").key_name == "D"
    assert tune("Harp: C", "Position: 3", "Form: 12-bar").key_name == "D"
    assert found("Harp: A", "Key: Em", "Form: 12-bar") == [
        "a minor key over a form whose home chord is major"
    ]


def test_a_harp_out_of_range_is_an_error_at_its_line() -> None:
    lines = 'name = "own"\nholes = 4\nblow = ["C9", "E9", "G9", "C10"]\n'
    with pytest.raises(TuneError) as caught:
        read_tune(
            "Title: T\nHarp: high C\nTuning: x.toml\nPosition: 1\n" + LICK, "t", lambda _: lines
        )
    assert all(problem.place.line for problem in caught.value.problems)


def test_faults_of_another_file_keep_their_place() -> None:
    with pytest.raises(TuneError) as caught:
        read_tune("Title: T\nHarp: C\nTuning: x.toml\nPosition: 1\n" + LICK, "t", lambda _: "a = [")
    (problem,) = caught.value.problems
    assert problem.place.file == "x.toml"


def test_single_reeds_temperament_and_pitch() -> None:
    own = tune(
        "Harp: C", "Position: 1", "Tuning: Richter, 3b A", "A4: 442", "Temperament: 7-limit just"
    )
    assert (own.harp.a4_hz, own.harp.temperament.name) == (442, "7-limit just")
    assert found("Harp: C", "Position: 1", "A4: 300") == ["A4 = 300 Hz"]


def test_what_a_student_can_do() -> None:
    header = ("Harp: C", "Position: 1")
    steady = tune(*header, "Student: Steady").abilities
    assert steady == ladder().of_level("steady")
    more = tune(*header, "Student: steady", "Can: 3d''").abilities
    assert more == steady | {"3d''"}
    less = tune(*header, "Student: steady", "Not yet: 2d'").abilities
    assert steady - less == {"2d'", "2d''", "3d'"}  # all that needs it goes with it
    assert tune(*header, "Can: shake").abilities == {"shake", "single-notes"}


def test_each_key_once_and_none_empty() -> None:
    assert found("Harp: A", "harp: B", "Position:", "By:", "BY: x") == [
        "Harp stands twice in the header",
        "nothing after Position",
        "nothing after By",
        "By stands twice in the header",
    ]


@pytest.mark.parametrize("key", KEYS)
def test_capitals_do_not_matter(key: str) -> None:
    value = {"Harp": "A", "Position": "2", "Key": "E", "Title": "x"}.get(key, "?")
    problems: tuple[Problem, ...] = ()
    try:
        read_tune(f"Title: T\nHarp: A\nPosition: 2\n{key.upper()}: {value}\n" + LICK)
    except TuneError as error:
        problems = error.problems
    assert all("unknown header" not in problem.found for problem in problems)


def test_lines_of_headers() -> None:
    assert tune("Harp: A", "# x", "Position: 2").lines == {"Title": 1, "Harp": 2, "Position": 4}


def test_markup_in_a_title_is_a_title() -> None:
    title = "<b>&amp;</b> #set page() \\alert{1} $(rm) %s {0} *x* 😀"
    assert read_tune(f"Title: {title}\nHarp: A\nPosition: 2\n{LICK}").title == title


@pytest.mark.parametrize("key", ["By", "School", "Rights"])
@pytest.mark.parametrize("blank", ["\u200b", "\u200d\u00ad", "\u0301\u0301", "\U000e0041"])
def test_words_that_do_not_print_are_not_taken_for_words(key: str, blank: str) -> None:
    assert found("Harp: C", "Position: 1", f"{key}: {blank}") == [f"nothing to be seen after {key}"]
    with pytest.raises(TuneError, match=":1:8: nothing to be seen after Title"):
        read_tune(f"Title: {blank}\nHarp: C\nPosition: 1\n{LICK}")


@pytest.mark.parametrize("seen", ["?", "é", "日本", "5", "♭", "😀", "e\u0301", "\u200dx"])
def test_one_sign_that_prints_makes_a_title(seen: str) -> None:
    assert read_tune(f"Title: {seen}\nHarp: C\nPosition: 1\n{LICK}").title == seen
