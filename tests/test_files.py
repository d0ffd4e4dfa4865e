"""Writing whole: links stay links, and nothing but a plain file is ever replaced."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from reedwright.errors import FileError
from reedwright.files import write_whole


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_link_stays_a_link_and_what_it_leads_to_is_written(tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    target, link = tmp_path / "there" / "real.txt", tmp_path / "link.txt"
    target.write_text("old")
    link.symlink_to("there/real.txt")
    write_whole(link, b"new")
    assert link.is_symlink()
    assert target.read_text() == "new"
    assert names(tmp_path) == ["link.txt", "there"]
    assert names(tmp_path / "there") == ["real.txt"]


def test_a_link_that_leads_nowhere_yet_makes_its_file(tmp_path: Path) -> None:
    (tmp_path / "link.txt").symlink_to("real.txt")
    write_whole(tmp_path / "link.txt", b"new")
    assert (tmp_path / "real.txt").read_text() == "new"


def test_a_circle_of_links_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a").symlink_to("b")
    (tmp_path / "b").symlink_to("a")
    with pytest.raises(FileError, match="Mend: "):
        write_whole(tmp_path / "a", b"new")
    assert names(tmp_path) == ["a", "b"]
    assert (tmp_path / "a").is_symlink()


@pytest.mark.parametrize("linked", [False, True])
def test_a_pipe_is_refused_and_stays(linked: bool, tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    path = pipe
    if linked:
        path = tmp_path / "link"
        path.symlink_to("pipe")
    before = names(tmp_path)
    with pytest.raises(FileError, match="not a plain file"):
        write_whole(path, b"new")
    assert pipe.is_fifo()
    assert names(tmp_path) == before


def test_a_name_that_steers_a_terminal_is_shown_harmlessly(tmp_path: Path) -> None:
    with pytest.raises(FileError) as caught:
        write_whole(tmp_path / "no" / "a\n\x1b[31mb\u202e.txt", b"")
    assert "a\ufffd\ufffd[31mb\ufffd.txt: no such file" in str(caught.value)
    assert str(caught.value).isprintable()
