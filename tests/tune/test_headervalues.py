"""Single header values."""

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import InputError, Problem, TuneError
from reedwright.harp.note import Breath
from reedwright.harp.tuning import tuning_named
from reedwright.tables import FOLDER_VARIABLE
from reedwright.tune.headervalues import (
    MAX_TEMPOS,
    Settings,
    parse_band,
    parse_count_in,
    parse_hertz,
    parse_key,
    parse_notation,
    parse_settings,
    parse_techniques,
    parse_tempos,
    with_reed,
)

READERS = (
    parse_key, parse_tempos, parse_hertz, parse_count_in, parse_notation, parse_techniques,
    parse_settings, parse_band,
)  # fmt: skip


@given(st.sampled_from(READERS), st.text(max_size=30) | st.text("0123456789.,:/ abm'", max_size=30))
def test_any_text_is_a_value_or_an_error(read: object, text: str) -> None:
    assert callable(read)
    problems: tuple[Problem, ...] = ()
    try:
        read(text)
    except InputError as error:
        problems = error.problems
    assert all(problem.rule and problem.mend for problem in problems)


@given(st.sets(st.integers(20 * 8, 400 * 8), min_size=1, max_size=MAX_TEMPOS))
def test_tempos_are_exact(eighths: set[int]) -> None:
    tempos = tuple(Fraction(number, 8) for number in sorted(eighths))
    assert parse_tempos(" , ".join(f"{float(tempo):g}" for tempo in tempos)) == tempos


@pytest.mark.parametrize(
    "text", ["", "60,", "60 80", "1e2", "nan", "٦٠", "60, 60", "19.999", "-60", "400.001"]
)
def test_no_tempos(text: str) -> None:
    with pytest.raises(TuneError):
        parse_tempos(text)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("E", ("E", None)),
        ("Am", ("A", True)),
        ("a minor", ("A", True)),
        ("Bb major", ("Bb", False)),
        ("f♯", ("F♯", None)),
    ],
)
def test_keys(text: str, key: tuple[str, bool | None]) -> None:
    assert parse_key(text) == key


def test_small_values() -> None:
    assert [parse_count_in(text) for text in ("1", "two", "2 bars", "One bar")] == [1, 2, 2, 1]
    assert [parse_hertz(text) for text in ("440", "442.5", "441 Hz")] == [440, 442.5, 441]
    assert [parse_notation(text) for text in ("signed", "Letters")] == [True, False]
    assert parse_settings("start 2.0, Vital Capacity 4") == (
        ("start", "2.0"),
        ("vital capacity", "4"),
    )


def test_every_fault_of_the_settings_at_once() -> None:
    judged: list[Settings] = []

    def judge(pairs: Settings) -> tuple[Problem, ...]:
        judged.append(pairs)
        return (Problem("wings are no lungs"),)

    with pytest.raises(TuneError) as caught:
        parse_settings("start, wings 2, big 1e3", judge)
    assert judged == [(("wings", "2"),)]
    assert [problem.found for problem in caught.value.problems] == [
        "cannot read 'start'",
        "cannot read 'big 1e3'",
        "wings are no lungs",
    ]


def test_techniques_by_id_name_or_tab() -> None:
    found = parse_techniques("3d’, hand wah, throat-vibrato, whole-step bend on 2 draw,")
    assert found == {"3d'", "hand-wah", "throat-vibrato", "2d''"}
    with pytest.raises(TuneError) as caught:
        parse_techniques("shake, flying, whistling")
    assert [problem.found for problem in caught.value.problems] == [
        "unknown technique 'flying'",
        "unknown technique 'whistling'",
    ]


def test_a_style_of_the_band_is_one_of_the_rules(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert parse_band("Rumba") == "rumba"
    with pytest.raises(TuneError, match="did you mean rumba"):
        parse_band("rhumba")
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    (tmp_path / "band.toml").write_text("[style.ferry]\n[[style.ferry.groove]]\n[ style.'raft' ]\n")
    assert [parse_band(name) for name in ("ferry", "raft")] == ["ferry", "raft"]
    with pytest.raises(TuneError, match=r"Styles are ferry, raft\."):
        parse_band("rumba")


def test_one_reed_changed_moves_to_the_nearest_such_note() -> None:
    richter = tuning_named("Richter")
    assert with_reed(richter, "3b A", "C").offset(3, Breath.BLOW) == 9
    assert with_reed(richter, "5d F#", "C").offset(5, Breath.DRAW) == 18
    assert with_reed(richter, "3b F#", "A").offset(3, Breath.BLOW) == 9  # on an A harp: A above C
