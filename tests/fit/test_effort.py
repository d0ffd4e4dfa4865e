"""The weights: read, and their faults all in one go."""

from __future__ import annotations

import pytest

from reedwright.errors import SettingError
from reedwright.fit.effort import effort, read_effort
from reedwright.tables import packaged_text

GOOD = packaged_text("effort.toml")


def faults(text: str) -> list[str]:
    with pytest.raises(SettingError) as caught:
        read_effort(text, "effort.toml")
    return [str(problem) for problem in caught.value.problems]


def test_the_packaged_weights_are_in_force() -> None:
    assert effort() == read_effort(GOOD)
    assert effort().move["turn"] > 0


@pytest.mark.parametrize(
    ("name", "points"),
    [
        ("Richter", 0.0),
        ("half-valved country", 3.0),
        ("spiral from D", 8.0),
        ("my own", 6.0),
    ],
)
def test_the_points_of_a_tuning(name: str, points: float) -> None:
    assert effort().of_tuning(name) == points


def test_no_weights_at_all() -> None:
    assert len(faults("")) == 4
    assert faults("[")[0].startswith("effort.toml is not TOML: ")
    assert faults("x = 1")[-1].startswith("effort.toml: unknown 'x'. Known are note, move")
    assert faults("a = " + "[" * 5000)[0].startswith("effort.toml is not TOML")


def test_every_fault_is_told() -> None:
    text = GOOD.replace("turn = 0.08 ", "trun = 0.08 ").replace("octave = 1.0", "octave = -1")
    assert faults(text) == [
        "effort.toml: [move] lacks turn. Every weight stands there. Mend: add turn.",
        (
            "effort.toml: unknown 'trun'. Known are hole, hole-free, turn, leap-to-bend, "
            "bend-to-bend, button, least-time-s, most-time-s. Mend: did you mean turn?"
        ),
        "effort.toml: octave = '-1'. A weight is a number, 0 or more.",
    ]


@pytest.mark.parametrize("value", ["nan", "inf", "true", '"a"', "-0.1", "[]"])
def test_what_is_no_weight(value: str) -> None:
    assert len(faults(GOOD.replace("button = 0.1 ", f"button = {value} "))) == 1


def test_no_time_is_no_time() -> None:
    assert faults(GOOD.replace("least-time-s = 0.08", "least-time-s = 0"))[0].startswith(
        "effort.toml: least-time-s is 0"
    )
