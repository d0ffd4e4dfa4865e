"""One open tune: edits, windows, other programs, and a file that goes away."""

from pathlib import Path

import pytest

from reedwright.desk.book import Book, Edit
from reedwright.desk.changes import Change
from reedwright.desk.faults import CONFLICT, GONE, DeskError, DiskError
from reedwright.desk.journal import Journal
from reedwright.desk.shelf import Shelf

TEXT = "Title: T\nHarp: C\nPosition: second\n\nLick A\n1: 2d 3d 4d 5d\n2: 2d . . .\n"


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    (tmp_path / "t.reed").write_text(TEXT, encoding="utf-8", newline="")
    made = Shelf(tmp_path)
    made.prepare()
    return made


def opened(shelf: Shelf, now_s: float = 1.0) -> Book:
    book = Book(shelf, "t")
    book.open(now_s)
    return book


def on_disk(shelf: Shelf) -> str:
    return shelf.path("t").read_bytes().decode("utf-8")


def put(shelf: Shelf, text: str) -> None:
    """As a text editor does: a new file in place of the old."""
    other = shelf.folder / "t.tmp"
    other.write_text(text, encoding="utf-8", newline="")
    other.rename(shelf.path("t"))


def test_an_edit_is_kept_and_then_saved(shelf: Shelf) -> None:
    book = opened(shelf)
    state = book.edit(Edit(1, changes=(Change(7, 8, "New"),), window="w"), 2.0)
    assert (state.version, state.saved, state.text[:10]) == (2, 1, "Title: New")
    assert on_disk(shelf) == TEXT
    book.save(3.0)
    assert on_disk(shelf) == state.text
    assert book.state().saved == 2


def test_what_was_acknowledged_comes_back_without_being_saved(shelf: Shelf) -> None:
    opened(shelf).edit(Edit(1, "mine\n"), 2.0)
    state = opened(shelf).state()
    assert (state.text, state.version) == ("mine\n", 2)


def test_what_was_acknowledged_comes_back_though_the_file_is_gone(shelf: Shelf) -> None:
    opened(shelf).edit(Edit(1, "mine\n"), 2.0)
    shelf.path("t").unlink()
    assert opened(shelf).state().text == "mine\n"
    assert on_disk(shelf) == "mine\n"


def test_a_file_deleted_when_all_was_saved_stays_away_until_it_is_written_in(shelf: Shelf) -> None:
    book = opened(shelf)
    shelf.path("t").unlink()
    book.look(2.0)
    assert book.state().gone
    assert opened(shelf).state().gone
    assert not shelf.path("t").exists()
    book.edit(Edit(1, TEXT + "# on\n"), 3.0)
    book.save(4.0)
    assert on_disk(shelf) == TEXT + "# on\n"
    assert not book.state().gone


def test_a_program_beside_it_is_taken_in(shelf: Shelf) -> None:
    book = opened(shelf)
    put(shelf, TEXT + "# theirs\n")
    assert book.look(2.0)
    assert (book.state().text, book.state().version) == (TEXT + "# theirs\n", 2)
    assert not book.look(3.0)


def test_an_edit_not_saved_is_joined_with_the_file(shelf: Shelf) -> None:
    book = opened(shelf)
    book.edit(Edit(1, TEXT.replace("Title: T", "Title: Mine")), 2.0)
    put(shelf, TEXT + "# theirs\n")
    book.save(3.0)
    joined = TEXT.replace("Title: T", "Title: Mine") + "# theirs\n"
    assert book.state().text == on_disk(shelf) == joined
    assert book.lost == 0


def test_where_they_meet_the_file_is_the_tune_and_the_edit_in_the_history(shelf: Shelf) -> None:
    book = opened(shelf)
    mine = TEXT.replace("Title: T", "Title: Mine")
    book.edit(Edit(1, mine), 2.0)
    put(shelf, TEXT.replace("Title: T", "Title: Theirs"))
    book.save(3.0)
    assert "Title: Theirs" in book.state().text
    assert "Title: Theirs" in on_disk(shelf)
    assert book.lost == 2
    assert book.text_at(2) == mine
    assert opened(shelf).text_at(2) == mine


def test_two_windows_far_apart_are_joined_by_the_window(shelf: Shelf) -> None:
    book = opened(shelf)
    book.edit(Edit(1, TEXT.replace("Title: T", "Title: A"), window="a"), 2.0)
    with pytest.raises(DeskError) as met:
        book.edit(Edit(1, TEXT + "# b\n", window="b"), 3.0)
    told = met.value.more
    assert met.value.status == CONFLICT
    assert told["merged"] == TEXT.replace("Title: T", "Title: A") + "# b\n"
    assert told["version"] == 2
    book.edit(Edit(2, told["merged"], window="b"), 4.0)
    assert book.state().text == told["merged"]


def test_two_windows_that_meet_keep_both_texts(shelf: Shelf) -> None:
    book = opened(shelf)
    book.edit(Edit(1, TEXT.replace("Title: T", "Title: A"), window="a"), 2.0)
    mine = TEXT.replace("Title: T", "Title: B")
    for _ in range(3):
        with pytest.raises(DeskError) as met:
            book.edit(Edit(1, mine, window="b"), 3.0)
        assert met.value.more["conflict"]["mine"] == mine
    assert book.state().version == 2
    assert book.text_at(3) == mine
    assert len(book.records()) == 3  # told thrice, kept once
    assert book.edit(Edit(2, mine, window="b"), 5.0).version == 4


def test_an_answer_lost_on_the_way_is_no_conflict(shelf: Shelf) -> None:
    book = opened(shelf)
    book.edit(Edit(1, TEXT + "#", window="w"), 2.0)
    assert book.edit(Edit(1, TEXT + "#", window="w"), 3.0).version == 2
    assert book.edit(Edit(1, TEXT + "# more", window="w"), 4.0).version == 3
    assert book.state().text == TEXT + "# more"


def test_a_version_that_never_was_is_told_so(shelf: Shelf) -> None:
    book = opened(shelf)
    with pytest.raises(DeskError) as unknown:
        book.edit(Edit(77, changes=(Change(0, 0, "x"),)), 2.0)
    assert (unknown.value.status, unknown.value.more["text"]) == (CONFLICT, TEXT)
    with pytest.raises(DeskError) as gone:
        book.text_at(77)
    assert gone.value.status == GONE


def test_line_ends_and_mark_of_a_file_stay(shelf: Shelf) -> None:
    shelf.path("t").write_bytes(b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode())
    book = opened(shelf)
    assert book.state().text == TEXT
    book.edit(Edit(1, TEXT + "# x\n"), 2.0)
    book.save(3.0)
    assert shelf.path("t").read_bytes() == b"\xef\xbb\xbf" + (TEXT + "# x\n").replace(
        "\n", "\r\n"
    ).encode("utf-8")


def test_an_earlier_version_is_made_the_newest(shelf: Shelf) -> None:
    book = opened(shelf)
    book.edit(Edit(1, "two\n"), 2.0)
    state = book.restore(1, 3.0)
    assert (state.text, state.version) == (TEXT, 3)
    assert book.text_at(2) == "two\n"


def test_a_thousand_edits_and_every_version_is_there(shelf: Shelf) -> None:
    book = opened(shelf)
    for number in range(1, 1001):
        book.edit(Edit(number, TEXT + f"# {number}\n", window="w"), float(number))
    for version in (2, 199, 202, 500, 1001):
        assert book.text_at(version) == TEXT + f"# {version - 1}\n"
    assert opened(shelf).state().version == 1001


def test_a_disk_that_is_full_refuses_and_goes_on(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = opened(shelf)

    def full(*_: object) -> None:
        raise DiskError(OSError(28, "No space left on device"))

    with monkeypatch.context() as patch:
        patch.setattr(Journal, "append", full)
        with pytest.raises(DiskError):
            book.edit(Edit(1, "lost?\n"), 2.0)
    assert book.state().text == TEXT
    assert book.edit(Edit(1, "kept\n"), 3.0).version == 2
    assert opened(shelf).state().text == "kept\n"


def test_a_long_journal_is_thinned_and_goes_on(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("reedwright.desk.journal.MAX_BYTES", 20_000)
    book = opened(shelf)
    for number in range(1, 401):
        book.edit(Edit(number, TEXT + f"# {number}\n", window="w"), float(number))
    size = shelf.kept("t", ".journal").stat().st_size
    assert size < 60_000
    state = opened(shelf).state()
    assert (state.version, state.text) == (401, TEXT + "# 400\n")


def test_a_journal_says_from_its_end_whether_all_is_saved(shelf: Shelf) -> None:
    journal = Journal(shelf.kept("t", ".journal"))
    assert not journal.settled()
    book = opened(shelf)
    assert journal.settled()
    book.edit(Edit(1, TEXT + "# " + "long " * 500), 2.0)
    assert not journal.settled()
    book.save(3.0)
    assert journal.settled()
    with journal.path.open("ab") as file:
        file.write(b"torn")
    assert journal.settled()  # what was torn was never acknowledged
