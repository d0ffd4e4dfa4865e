"""A teacher's cuts: as values, as text, on disk; every fault in exact words."""

from pathlib import Path

import pytest
from hypothesis import given

from reedwright.errors import FileError, LessonError
from reedwright.lesson.cuts import ID, Cut, Cuts
from reedwright.lesson.cutsfile import MAX_CHARS, read_cuts, write_cuts
from reedwright.lesson.load import cuts_path, load_cuts, save_cuts
from reedwright.tune.place import Score
from reedwright.tune.values import Comment
from tests.strategies import placed_tunes, teacher_cuts

TEXT = """\
# the run is learned from its top
cut before call:2.1.1@1.2
no cut before call:1.3.1@1.1
"""
CUTS = Cuts(
    (
        Comment("the run is learned from its top"),
        Cut("call:2.1.1@1.2"),
        Cut("call:1.3.1@1.1", here=False),
    )
)


def test_text_in_and_out() -> None:
    assert read_cuts(TEXT) == CUTS
    assert write_cuts(CUTS) == TEXT
    assert [cut.line for cut in read_cuts(TEXT).cuts] == [2, 3]
    assert read_cuts("") == Cuts()
    assert write_cuts(Cuts()) == ""


def test_spaces_capitals_and_line_ends_do_not_matter() -> None:
    loose = "\ufeff  # the run is learned from its top\r\n\r\nCut   BEFORE call:2.1.1@1.2\r"
    assert read_cuts(loose + "no  cut before call:1.3.1@1.1 ") == CUTS


@given(teacher_cuts())
def test_what_is_written_reads_the_same(cuts: Cuts) -> None:
    assert read_cuts(write_cuts(cuts)) == cuts


@given(placed_tunes())
def test_every_event_can_be_named(score: Score) -> None:
    assert all(ID.fullmatch(event.id) for event in score.events)


def test_every_fault_is_told_in_one_go() -> None:
    text = (
        "cut after call:2.1.1@1.2\n"
        "  cut before Call 2\n"
        "cut before call:2.1@1.2\n"
        "cut before call:1.1.1@1.1\n"
        "\tno cut before call:1.1.1@1.1\n"
    )
    with pytest.raises(LessonError) as caught:
        read_cuts(text, "tune.cuts")
    line = "A line says `cut before` or `no cut before` and names a note by its id"
    name = "A note is named by its id: lick, bar, beat and part, chorus and bar"
    mend = "Mend: write it like `cut before call:2.1.1@1.2`."
    again = "A note is named once. Mend: keep one of the two lines."
    assert str(caught.value).split("\n") == [
        f"tune.cuts:1:1: 'cut after call:2.1.1@1.2'. {line}. {mend}",
        f"tune.cuts:2:3: 'cut before Call 2'. {line}. {mend}",
        f"tune.cuts:3:12: 'call:2.1@1.2' names no note. {name}. {mend}",
        f"tune.cuts:5:16: 'call:1.1.1@1.1' is named in line 4 already. {again}",
    ]


def test_a_file_of_nothing_but_faults_is_read_only_so_far() -> None:
    with pytest.raises(LessonError) as caught:
        read_cuts("x\n" * 100_000)
    assert len(caught.value.problems) == 101


def test_a_text_too_long_is_refused() -> None:
    with pytest.raises(LessonError) as caught:
        read_cuts(" " * (MAX_CHARS + 1), "tune.cuts")
    assert str(caught.value) == "tune.cuts: 4,000,001 characters. At most 4,000,000 are read."


def test_moving_adding_and_dropping() -> None:
    moved = Cuts().moved("a:1.2.1@1.1", "a:1.3.1@1.1")
    assert write_cuts(moved) == "no cut before a:1.2.1@1.1\ncut before a:1.3.1@1.1\n"
    back = moved.moved("a:1.3.1@1.1", "a:1.2.1@1.1")
    assert write_cuts(back) == "no cut before a:1.3.1@1.1\ncut before a:1.2.1@1.1\n"
    assert back.without("a:1.2.1@1.1", "a:1.3.1@1.1") == Cuts()
    assert CUTS.without("call:2.1.1@1.2").lines[0] == CUTS.lines[0]


def test_values_are_checked() -> None:
    with pytest.raises(LessonError, match="'here' names no note"):
        Cut("here")
    with pytest.raises(LessonError, match=r"a:1\.2\.1@1\.1 is named twice"):
        Cuts((Cut("a:1.2.1@1.1"), Cut("a:1.2.1@1.1", here=False)))


def test_on_disk(tmp_path: Path) -> None:
    tune = tmp_path / "tune.reed"
    assert load_cuts(tune) == Cuts()
    save_cuts(tune, CUTS)
    assert cuts_path(tune).read_text(encoding="utf-8") == TEXT
    assert load_cuts(tune) == CUTS
    save_cuts(tune, Cuts())
    assert list(tmp_path.iterdir()) == []
    save_cuts(tune, Cuts())


def test_faults_of_the_file_itself(tmp_path: Path) -> None:
    tune = tmp_path / "tune.reed"
    cuts_path(tune).write_bytes(b"# fine\n\xff\n")
    with pytest.raises(LessonError) as caught:
        load_cuts(tune)
    assert str(caught.value) == (
        f"{tmp_path / 'tune.cuts'}:2: text that is not UTF-8. Cuts are plain text in UTF-8. "
        "Mend: save the file as UTF-8 in your editor."
    )
    cuts_path(tune).unlink()
    cuts_path(tune).mkdir()
    with pytest.raises(FileError, match="is a directory"):
        load_cuts(tune)
    with pytest.raises(FileError):
        save_cuts(tune, Cuts())
    with pytest.raises(FileError):
        save_cuts(tune, CUTS)
