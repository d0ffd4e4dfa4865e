"""The table of the lesson room: what is in it, and its faults in exact words."""

from itertools import pairwise

import pytest

from reedwright.errors import SettingError
from reedwright.lesson.settings import lesson_table, read_lesson_table
from reedwright.tables import packaged_text
from reedwright.tune.techniques import ladder

TEXT = packaged_text("lesson.toml")


def test_every_level_of_the_ladder_has_a_size_and_sizes_grow() -> None:
    sizes = [lesson_table().size(level) for level in ladder().levels]
    assert len(set(sizes)) == len(sizes)
    for smaller, larger in pairwise(sizes):
        assert smaller.notes <= larger.notes
        assert smaller.most_notes <= larger.most_notes
        assert smaller.most_beats <= larger.most_beats


def test_an_unnamed_level_has_the_other_size() -> None:
    table = lesson_table()
    assert table.size("") == table.size("master of my own ladder") == table.sizes["other"]
    assert table.size("Beginner").notes == 4


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (
            "cut = 6.0",
            "",
            "lesson.toml: [stop] lacks cut. Every number stands there. Mend: add cut.",
        ),
        (
            "cut = 6.0",
            "cut = -1",
            "lesson.toml: cut = -1 in [stop]. A number from 0 to 1e+06.",
        ),
        ("cut = 6.0", "cut = true", "lesson.toml: cut in [stop] is no number. A number from 0 to"),
        ("cut = 6.0", "cut = nan", "lesson.toml: cut = nan in [stop]. A number from 0 to 1e+06."),
        ("cut = 6.0", "cut = 1e400", "cut = a huge number in [stop]"),
        ("cut = 6.0", "cut = 6.0\nrset = 1", "unknown 'rset' in [stop]. Known are cut, rest,"),
        ("[stop]", "[stopp]", "unknown 'stopp'. Known are stop"),
        ("[size.other]", "[size.another]", "no table [size.other]"),
        ("most-notes = 6", "most-notes = 3", "[size.beginner] holds less at most than is aimed at"),
        ("fade = 0.9", "fade = 1.0", "fade = 1 in [scale]. A number from 0 to 0.999."),
        ("[stop]", "[", "lesson.toml is not TOML:"),
    ],
)
def test_faults(old: str, new: str, words: str) -> None:
    assert old in TEXT
    with pytest.raises(SettingError) as caught:
        read_lesson_table(TEXT.replace(old, new, 1))
    assert words in str(caught.value)


def test_all_faults_are_told_in_one_go() -> None:
    wrong = TEXT.replace("cut = 6.0", "cut = 'x'").replace("step = 1.2", "step = 1.0")
    with pytest.raises(SettingError) as caught:
        read_lesson_table(wrong)
    assert len(caught.value.problems) == 2


@pytest.mark.parametrize(
    "text", ["", "stop = 3", "size = 3", "[size]\nother = 3", "a=" + "[" * 9999]
)
def test_what_is_no_table_at_all_is_one_clear_error(text: str) -> None:
    with pytest.raises(SettingError):
        read_lesson_table(text)
