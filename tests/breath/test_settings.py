"""Defaults and a user's own numbers."""

import math
from dataclasses import fields

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.breath.lungs import Lungs
from reedwright.breath.settings import default_lungs, lungs_from, settings
from reedwright.errors import Place, SettingError
from tests.breath.cases import LUNGS


def test_the_data_file_and_the_lungs_have_the_same_fields_in_the_same_order() -> None:
    assert [*settings()] == [field.name for field in fields(Lungs)]


def test_every_default_has_an_origin_and_lies_in_its_range() -> None:
    for setting in settings().values():
        assert setting.least <= setting.value <= setting.most
        assert setting.origin.startswith(
            ("physiology text: ", "from memory: ", "computed: ", "by definition: ")
        )


def test_no_setting_gives_the_defaults() -> None:
    assert lungs_from({}) == default_lungs()


def test_one_number_is_set_and_the_rest_stays() -> None:
    lungs = lungs_from({"draw_l_per_s": 1})
    assert lungs.draw_l_per_s == 1.0
    assert lungs.blow_l_per_s == LUNGS.blow_l_per_s


def test_a_childs_lungs_from_one_number() -> None:
    lungs = lungs_from({"vital_capacity_l": 2.4})
    assert lungs.comfortable_high_l == pytest.approx(2.0)
    assert lungs.start_l == lungs.easy_low_l == pytest.approx(0.6)
    assert lungs.draw_l_per_s == LUNGS.draw_l_per_s


def test_volumes_not_set_follow_the_comfortable_limits() -> None:
    lungs = lungs_from({"comfortable_low_l": 1.5, "comfortable_high_l": 1.6})
    assert (lungs.start_l, lungs.easy_low_l, lungs.easy_high_l) == (1.5, 1.5, 1.6)


def test_all_faults_in_one_go_with_their_place() -> None:
    own = {"star_l": 1.0, "draw_l_per_s": "0.3", "turn_gap_s": math.nan, "blow_l_per_s": 7}
    with pytest.raises(SettingError) as caught:
        lungs_from(own, Place(3, 1, "tune.reed"))
    lines = str(caught.value).splitlines()
    assert len(lines) == 4
    assert lines[0].startswith(
        "tune.reed:3:1: unknown breath setting 'star_l'. Breath settings are vital_capacity_l, "
    )
    assert lines[0].endswith("Mend: did you mean start_l?")
    assert lines[1] == "tune.reed:3:1: draw_l_per_s is '0.3'. It must be a number."
    assert lines[2] == (
        "tune.reed:3:1: turn_gap_s is nan. It must lie between 0 and 1. "
        "Mend: leave it out for the default, 0.06."
    )
    assert lines[3] == (
        "tune.reed:3:1: blow_l_per_s is 7. It must lie between 0.01 and 2. "
        "Mend: leave it out for the default, 0.2."
    )


def test_a_wrong_order_has_its_place_too() -> None:
    with pytest.raises(SettingError) as caught:
        lungs_from({"start_l": 4.5}, Place(2))
    assert str(caught.value) == (
        "line:2: start_l (4.5) lies above comfortable_high_l (4). The order is comfortable_low_l ≤ "
        "easy_low_l ≤ easy_high_l ≤ comfortable_high_l ≤ vital_capacity_l, with start_l between "
        "the comfortable limits. Mend: lower start_l or raise comfortable_high_l."
    )


def test_a_number_of_400_digits_is_refused_and_not_repeated() -> None:
    with pytest.raises(SettingError) as caught:
        lungs_from({"start_l": 10**400, "x" * 400: 1})
    lines = str(caught.value).splitlines()
    assert lines[0].startswith("start_l is a whole number of more than 40 digits. It must lie")
    assert "x" * 41 not in lines[1]


@given(
    st.dictionaries(
        st.sampled_from([*settings()]) | st.text(max_size=5) | st.integers(),
        st.floats() | st.integers() | st.text(max_size=3) | st.none() | st.booleans() | st.binary(),
        max_size=4,
    )
)
def test_any_mapping_gives_lungs_or_one_clear_error(own: dict[str, object]) -> None:
    known = settings()
    fine = all(
        name in known
        and isinstance(value, int | float)
        and not isinstance(value, bool)
        and known[name].least <= value <= known[name].most
        for name, value in own.items()
    )
    try:
        lungs = lungs_from(own)
    except SettingError as error:
        problems = error.problems
    else:
        assert fine
        assert all(getattr(lungs, name) == value for name, value in own.items())
        return
    assert all(problem.rule for problem in problems)
    assert all("The order is" in problem.rule for problem in problems) is fine
