"""The thresholds of hard moves and where they come from."""

import tomllib
from importlib.resources import files

import pytest

from reedwright.check.limits import MoveLimits, limits, read_limits
from reedwright.check.shapes import mouth
from reedwright.errors import SettingError

TEXT = files("reedwright.check").joinpath("data/moves.toml").read_text(encoding="utf-8")


def test_defaults() -> None:
    assert limits() == MoveLimits(
        jump_holes=3,
        jump_holes_per_s=10.0,
        jump_slide_holes=3,
        jump_slide_holes_per_s=13.0,
        turns_per_s=6.0,
        turns_window_s=2.0,
        changes_per_s=8.0,
        changes_window_s=2.0,
        bend_leap_holes=3,
        bend_leap_within_s=0.6,
        bend_run_notes=4,
        bend_run_within_s=0.4,
    )
    assert (mouth()["chord"]["holes"], mouth()["split"]["most_holes"]) == (5, 5)


def test_a_slide_harp_has_jumps_of_its_own() -> None:
    own = limits().of_slide_harp()
    assert (own.jump_holes, own.jump_holes_per_s) == (3, 13.0)
    assert own.turns_per_s == limits().turns_per_s


@pytest.mark.parametrize("name", ["moves.toml", "mouth.toml"])
def test_every_threshold_has_an_origin(name: str) -> None:
    text = files("reedwright.check").joinpath(f"data/{name}").read_text(encoding="utf-8")
    assert all(row["origin"] for row in tomllib.loads(text).values())


def test_a_changed_file_changes_the_limits() -> None:
    assert read_limits(TEXT.replace("per_s = 6.0", "per_s = 9.5")).turns_per_s == 9.5


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (TEXT.replace("per_s = 6.0", "per_s = 0"), "turns_per_s is 0.0. Thresholds of moves are"),
        (TEXT.replace("per_s = 6.0", "per_s = nan"), "turns_per_s is nan. Thresholds of moves are"),
        (TEXT.replace("holes = 3", "hoels = 3"), "moves.toml is no table of moves: "),
        (TEXT.replace("notes = 4", 'notes = "four"'), "moves.toml is no table of moves: "),
        ("holes = 3", "moves.toml is no table of moves: "),
        ("[jump", "moves.toml is no table of moves: "),
    ],
)
def test_bad_files(text: str, words: str) -> None:
    with pytest.raises(SettingError) as caught:
        read_limits(text)
    assert str(caught.value).startswith(words)
