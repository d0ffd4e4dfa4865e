"""The `Lungs:` line: friendly names, and every fault at its exact words."""

from dataclasses import replace

import pytest

from reedwright.breath.lungs_header import friendly_names, lungs_faults, lungs_of
from reedwright.breath.settings import default_lungs, lungs_from, settings
from reedwright.errors import SettingError
from tests.breath.tunes_for_breath import score_of

NAMES = (
    "vital capacity, comfortable low, comfortable high, easy low, easy high, start, breathe in, "
    "breathe out, draw, blow, extra reed, bend per semitone, loudness very soft, loudness soft, "
    "loudness medium, loudness loud, loudness very loud, turn gap, turn gap share"
)


def fault(*pairs: tuple[str, str]) -> list[str]:
    """As if the `Lungs:` line had held these; the reader already refuses what is no number."""
    tune = score_of("Lick A\n1: 2d . . .\n", head="Lungs: start 1").tune
    with pytest.raises(SettingError) as caught:
        lungs_of(replace(tune, lungs=pairs), "my.reed")
    return str(caught.value).split("\n")


def test_every_setting_has_one_friendly_name() -> None:
    assert ", ".join(friendly_names()) == NAMES
    assert tuple(friendly_names().values()) == tuple(settings())


def test_without_the_line_the_defaults_hold() -> None:
    assert lungs_of(score_of("Lick A\n1: 2d . . .\n").tune) == default_lungs()


@pytest.mark.parametrize("name", list(friendly_names()))
def test_names_in_words_and_those_of_the_data_file_are_understood(name: str) -> None:
    setting = settings()[friendly_names()[name]]
    for written in (name, name.upper(), setting.name):
        tune = score_of("Lick A\n1: 2d . . .\n", head=f"Lungs: {written} {setting.value}").tune
        assert lungs_of(tune) == lungs_from({setting.name: setting.value})


def test_several_settings_scale_with_the_vital_capacity() -> None:
    tune = score_of("Lick A\n1: 2d . . .\n", head="Lungs: start 2.0, vital capacity 4.2").tune
    assert lungs_of(tune) == lungs_from({"start_l": 2.0, "vital_capacity_l": 4.2})


def test_every_fault_in_one_go_at_the_line() -> None:
    assert fault(
        ("vital capcity", "2"), ("draw", "x"), ("start", "1"), ("start", "2"), ("turn gap", "7")
    ) == [
        (
            "my.reed:5:8: unknown lungs setting 'vital capcity'. "
            f"Settings of the lungs are {NAMES}. Mend: did you mean vital capacity?"
        ),
        (
            "my.reed:5:8: draw is 'x'. A setting is a name and a plain number, without its unit. "
            "Mend: write it like `start 2.0`."
        ),
        "my.reed:5:8: start stands twice. Each setting stands once. Mend: keep one of the two.",
        (
            "my.reed:5:8: turn gap is 7.0. It must lie between 0 and 1. "
            "Mend: leave it out for the default, 0.06."
        ),
    ]


def test_an_order_that_cannot_be_is_told_in_words() -> None:
    assert fault(("comfortable low", "3"), ("easy low", "1")) == [
        (
            "my.reed:5:8: comfortable low (3) lies above easy low (1). "
            "The order is comfortable low ≤ easy low ≤ easy high ≤ comfortable "
            "high ≤ vital capacity, "
            "with start between the comfortable limits. "
            "Mend: lower comfortable low or raise easy low."
        )
    ]


@pytest.mark.parametrize("value", ["1e3", "nan", "-1", "9" * 400, "1.2.3", "2,0", "٣"])
def test_odd_numbers_are_refused(value: str) -> None:
    (line,) = fault(("start", value))
    assert line.startswith("my.reed:5:8: start is ")
    assert len(line) < 200


def test_a_reader_is_told_the_same_faults_and_places_them() -> None:
    pairs = (("wings", "2"), ("start", "17"), ("draw", "0.4"))
    (first, second) = lungs_faults(pairs)
    assert [f"my.reed:5:8: {first}", f"my.reed:5:8: {second}"] == fault(*pairs)
    assert lungs_faults((("draw", "0.4"),)) == lungs_faults(()) == ()
