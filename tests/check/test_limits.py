"""The thresholds of hard moves and where they come from."""

import tomllib
from dataclasses import replace
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


@pytest.mark.parametrize("title", list(tomllib.loads(TEXT)))
def test_what_an_older_copy_lacks_is_as_it_comes(title: str) -> None:
    start = TEXT.index(f"[{title}]")
    end = TEXT.find("\n[", start)
    without = TEXT[:start] + (TEXT[end + 1 :] if end > 0 else "")
    assert title not in tomllib.loads(without)
    assert read_limits(without) == limits()
    assert read_limits(TEXT.replace("origin", "# origin")) == limits()


def test_what_a_copy_has_counts_and_the_rest_is_as_it_comes() -> None:
    own = read_limits("[jump-slide]\nholes_per_s = 9\n")
    assert own == replace(limits(), jump_slide_holes_per_s=9)
    assert read_limits("") == limits()


def test_all_faults_of_a_file_come_in_one_go() -> None:
    with pytest.raises(SettingError) as caught:
        read_limits("holes = 3\n[jmup]\n[jump]\nhoels = 3\nholes_per_s = true\n", "mine.toml")
    keys = "holes, holes_per_s, origin"
    tables = "jump, jump-slide, turns, changes, bend-leap, bend-run"
    assert str(caught.value).split("\n") == [
        f"mine.toml: unknown 'holes'. Known are {tables}. Mend: delete it.",
        f"mine.toml: unknown 'jmup'. Known are {tables}. Mend: did you mean jump?",
        f"mine.toml: [jump] unknown 'hoels'. Known are {keys}. Mend: did you mean holes?",
        "mine.toml: [jump] holes_per_s is no number. It is a number above 0.",
    ]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (TEXT.replace("per_s = 6.0", "per_s = 0"), "[turns] per_s is 0. It is a number above 0."),
        (TEXT.replace("per_s = 6.0", "per_s = nan"), "[turns] per_s is nan. It is a number above"),
        (TEXT.replace("notes = 4", 'notes = "four"'), "[bend-run] notes is 'four'. It is a whole"),
        (TEXT.replace("notes = 4", "notes = 4.5"), "[bend-run] notes is 4.5. It is a whole number"),
        (TEXT.replace("notes = 4", f"notes = {'9' * 400}"), "[bend-run] notes is a huge number"),
        ("jump = 3", "jump is no table. Its numbers stand below a line [jump]."),
        ("a = " + "[" * 5000, "tables nested too deep."),
    ],
)
def test_bad_files(text: str, words: str) -> None:
    with pytest.raises(SettingError) as caught:
        read_limits(text)
    assert str(caught.value).startswith(f"moves.toml: {words}")


def test_no_toml() -> None:
    with pytest.raises(SettingError, match=r"^moves\.toml is not TOML: "):
        read_limits("[jump")


def test_thresholds_are_above_nothing() -> None:
    with pytest.raises(SettingError, match="turns_per_s is 0"):
        replace(limits(), turns_per_s=0)
