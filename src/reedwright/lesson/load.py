"""Cuts on disk, beside the tune. The only module of this room that opens files.

Conventions: the cuts of `NAME.reed` are in `NAME.cuts`; no file means that the teacher has moved
none. A file is written whole or not at all, and goes away when there is nothing left to say.
"""

from __future__ import annotations

from pathlib import Path

from reedwright.errors import FileError, LessonError, Place, Problem
from reedwright.files import read_bytes, reason, write_whole
from reedwright.lesson.cuts import Cuts
from reedwright.lesson.cutsfile import read_cuts, write_cuts

SUFFIX = ".cuts"
MAX_BYTES = 4_000_000
"""As many as a tune file may have."""


def cuts_path(tune: Path) -> Path:
    """Where the cuts of a tune file are kept.

    >>> cuts_path(Path("demo/lantern-street.reed")).name
    'lantern-street.cuts'
    """
    return tune.with_suffix(SUFFIX)


def load_cuts(tune: Path) -> Cuts:
    """The cuts kept beside a tune file; none where there is no file. Errors: FileError,
    LessonError."""
    path = cuts_path(tune)
    if not path.exists() and not path.is_symlink():
        return Cuts()
    data = read_bytes(path, MAX_BYTES)
    try:
        return read_cuts(data.decode("utf-8-sig"), str(path))
    except UnicodeDecodeError as error:
        line = bytes(error.object)[: error.start].count(b"\n") + 1
        raise LessonError(
            Problem(
                "text that is not UTF-8",
                "Cuts are plain text in UTF-8",
                "save the file as UTF-8 in your editor",
                Place(line, file=str(path)),
            )
        ) from None


def save_cuts(tune: Path, cuts: Cuts) -> None:
    """Keep cuts beside a tune file. Errors: FileError."""
    path = cuts_path(tune)
    if cuts.lines:
        write_whole(path, write_cuts(cuts).encode("utf-8"))
        return
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise FileError(str(path), reason(error), "check your rights to the folder") from None
