"""The folder: names that may become files, links that are not followed, files as they were."""

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.desk.faults import DeskError
from reedwright.desk.shelf import MAX_NAME, Shelf, bytes_of, checked_name, content_of
from reedwright.errors import FileError, TuneError

NO_NAMES = (
    *("", ".", "..", "...", "../x", "a/b", "a\\b", ".hidden", "-x", "a.", "a ", "a\nb", "a\x00b"),
    *("con", "NUL", "com1", "aux.x", "a:b", "a?b", "x" * (MAX_NAME + 1), "\u202eab", "a\ud800"),
)


@pytest.mark.parametrize("name", NO_NAMES)
def test_what_is_no_name(name: str) -> None:
    with pytest.raises(DeskError, match="is no name of a tune"):
        checked_name(name)


@pytest.mark.parametrize("name", ["a", "my tune", "été", "12-bar", "a.b", "x" * MAX_NAME, "日本"])
def test_what_is_a_name(name: str) -> None:
    assert checked_name(name) == name


@given(st.text(max_size=120))
def test_no_name_leads_out_of_the_folder(name: str) -> None:
    try:
        checked_name(name)
    except DeskError:
        return
    path = Path("/shelf") / f"{name}.reed"
    assert Path(os.path.normpath(path)).parent == Path("/shelf")
    assert len(os.fsencode(f"{name}.journal")) <= 255


def test_links_are_neither_listed_nor_opened(tmp_path: Path) -> None:
    folder = tmp_path / "shelf"
    folder.mkdir()
    secret = tmp_path / "secret.reed"
    secret.write_text("Title: Secret\n", encoding="utf-8")
    (folder / "link.reed").symlink_to(secret)
    (folder / "plain.reed").write_text("Title: P\n", encoding="utf-8")
    (folder / "dir.reed").mkdir()
    os.mkfifo(folder / "pipe.reed")
    shelf = Shelf(folder)
    assert shelf.names() == ["plain"]
    with pytest.raises(DeskError, match="is a link"):
        shelf.read("link")
    with pytest.raises(DeskError, match="is a link"):
        shelf.write("link", b"x")
    with pytest.raises(FileError, match="not a plain file"):
        shelf.read("pipe")
    assert secret.read_text(encoding="utf-8") == "Title: Secret\n"


def test_the_desks_own_folder_is_no_link_and_hidden_from_git(tmp_path: Path) -> None:
    shelf = Shelf(tmp_path)
    shelf.prepare()
    assert (tmp_path / ".reedwright" / ".gitignore").read_text(encoding="utf-8") == "*\n"
    other = tmp_path / "other"
    other.mkdir()
    (other / ".reedwright").symlink_to(tmp_path)
    with pytest.raises(FileError, match="a link"):
        Shelf(other).prepare()


def test_a_folder_that_is_none_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="not a folder"):
        Shelf(tmp_path / "nowhere")


@pytest.mark.parametrize(
    "data", [b"a\nb\n", b"a\r\nb\r\n", b"\xef\xbb\xbfa\nb\n", b"\xef\xbb\xbfa\r\nb\r\n", b"", b"x"]
)
def test_a_file_read_and_written_is_the_same(data: bytes) -> None:
    content = content_of(data, "x")
    assert bytes_of(content.text, content) == data
    assert "\r" not in content.text


def test_what_is_no_text_says_where() -> None:
    with pytest.raises(TuneError, match="x:2:1: a zero byte"):
        content_of(b"a\n\x00", "x")
    with pytest.raises(TuneError, match="x:1:2: byte 0xFF is not UTF-8"):
        content_of(b"a\xff", "x")


def test_a_name_is_made_from_a_title_and_never_twice(tmp_path: Path) -> None:
    shelf = Shelf(tmp_path)
    assert shelf.free_name("Été, slow") == "ete-slow"
    (tmp_path / "ete-slow.reed").touch()
    (tmp_path / "ete-slow-2.reed").symlink_to(tmp_path / "nothing")
    assert shelf.free_name("Été, slow") == "ete-slow-3"
    assert shelf.free_name("日本") == "tune"
    assert shelf.free_name("CON") == "tune-con"
    assert len(shelf.free_name("x" * 500)) <= MAX_NAME
