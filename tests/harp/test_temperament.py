"""Temperaments: the built-in ones by name, and a user's own."""

import math
from fractions import Fraction

import pytest

from reedwright.errors import HarpError
from reedwright.harp.temperament import (
    Temperament,
    ratio_cents,
    read_temperament,
    temperament_named,
    temperament_names,
)

_TWELVE = ", ".join(["0"] * 12)


@pytest.mark.parametrize("name", temperament_names())
def test_the_key_note_is_never_moved(name: str) -> None:
    assert temperament_named(name.upper()).cents[0] == 0.0
    assert temperament_named(name).source


def test_short_names_of_the_data_file_work_too() -> None:
    assert temperament_named("just-7") == temperament_named("7-limit just")


def test_compromise_lies_half_way() -> None:
    half, just = temperament_named("compromise").cents, temperament_named("just-7").cents
    assert [2 * value for value in half] == pytest.approx(just)


def test_a_ratio_and_its_inverse_cancel() -> None:
    assert ratio_cents(Fraction(5, 4), 4) + ratio_cents(Fraction(8, 5), 8) == pytest.approx(0)


def test_own_temperaments() -> None:
    text = 'name = "mine"\nblend = { of = "7-limit just", share = 0.25 }\nchange = { "4" = -5 }'
    mine = read_temperament(text, "x")
    assert (mine.name, mine.cents[4]) == ("mine", -5.0)
    assert mine.cents[5] == pytest.approx(temperament_named("just-7").cents[5] / 4)
    assert read_temperament(f"cents = [{_TWELVE}]", "x").cents == (0.0,) * 12
    assert read_temperament("", "x").cents == (0.0,) * 12


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (
            "cents = [1, 2]",
            (
                "x:1:1: 2 values. Twelve are needed, one for each semitone above the key note. "
                "Mend: write numbers, like -13.7."
            ),
        ),
        (
            "cents = 4",
            (
                "x:1:1: cents = 4. Twelve are needed, one for each semitone above the key note. "
                "Mend: write numbers, like -13.7."
            ),
        ),
        (
            f"cents = [nan, {_TWELVE[3:]}]",
            "x:1:1: cents = nan. A number from -100 to 100 is needed. Mend: write one in between.",
        ),
        (
            f"cents = [{_TWELVE}]\nratios = []",
            (
                "x:2:1: 0 values. Twelve are needed, one for each semitone above the key note. "
                'Mend: write ratios as text, like "5/4".'
            ),
        ),
        (
            'change = { "12" = 1 }',
            (
                "x:1:12: '12' in `change`. Semitones above the key note run from 0 to 11. "
                "Mend: name one of them."
            ),
        ),
        (
            "blend = { of = 3, share = 2 }",
            "x:1:19: share = 2. A number from 0 to 1 is needed. Mend: write one in between.",
        ),
        (
            "limit = 7",
            (
                "x:1:1: unknown key 'limit'. Keys are name, ratios, cents, blend, change, source. "
                "Mend: delete it."
            ),
        ),
    ],
)
def test_faults_in_words(text: str, fault: str) -> None:
    with pytest.raises(HarpError) as caught:
        read_temperament(text, "x")
    assert fault in [str(problem) for problem in caught.value.problems]


@pytest.mark.parametrize(
    "ratio", ["1e999999999", "5", "0/1", "5/0", "3/1", "-5/4", "9" * 400 + "/1"]
)
def test_ratios_that_are_none_or_too_far_off(ratio: str) -> None:
    ratios = [f"{2**step}/{2**step}" for step in range(12)]
    ratios[0] = ratio
    with pytest.raises(HarpError) as caught:
        read_temperament(f"ratios = {ratios}", "x")
    assert "Ratio 1 is text like 5/4, a semitone at most from equal temperament" in str(
        caught.value
    )


def test_two_ways_at_once_are_refused() -> None:
    with pytest.raises(HarpError, match="ratios and cents at once"):
        read_temperament(f"cents = [{_TWELVE}]\nratios = [{_TWELVE}]", "x")


def test_an_unknown_temperament_names_the_nearest() -> None:
    with pytest.raises(HarpError, match=r"did you mean '7-limit just'\?"):
        temperament_named("7-limit")


@pytest.mark.parametrize("cents", [(0.0,) * 11, (math.nan,) * 12, (0.0,) * 11 + (100.1,)])
def test_values_out_of_range_are_refused(cents: tuple[float, ...]) -> None:
    with pytest.raises(HarpError, match="twelve offsets, each within 100 cents"):
        Temperament("bad", cents)


@pytest.mark.parametrize("way", ["ratios = []", "cents = 3", 'blend = { of = "none such" }'])
def test_what_is_at_fault_does_not_keep_changes_from_being_read(way: str) -> None:
    with pytest.raises(HarpError) as caught:
        read_temperament(f'{way}\nchange = {{ "0" = 1, "11" = 999 }}', "x")
    assert len(caught.value.problems) == 2
    assert "11 = 999" in caught.value.problems[1].found
