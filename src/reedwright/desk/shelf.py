"""The folder of tunes: which names there are, what is in a file, and writing it whole.

A tune is `NAME.reed` in the folder itself, a plain file. Names come from a browser, so each is
looked at before it becomes a path: no separators, no hidden files, no links, nothing that another
system would read otherwise. What the desk keeps for itself lies in `.reedwright/` beside the tunes,
which tells git to pass it by.
"""

from __future__ import annotations

import os
import re
import stat
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from reedwright.desk.faults import ABSENT, WRONG, DeskError, DiskError, refused
from reedwright.errors import FileError, Place, Problem, TuneError
from reedwright.files import read_bytes, write_whole
from reedwright.harp.pitch import shown
from reedwright.tune.load import MAX_BYTES, SUFFIX, decoded
from reedwright.tune.values import slug

OWN = ".reedwright"
MAX_NAME = 100
"""Characters of a name; with the endings of kept files it stays under 255 bytes on any system."""

MAX_TUNES = 5_000
"""More tunes are not listed (from memory: no teacher has them in one folder)."""

_NAME = re.compile(r"[^\x00-\x1f\x7f/\\:*?\"<>|]+")
_RESERVED = re.compile(r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\..*)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Stamp:
    """What tells a change of a file without reading it."""

    mtime_ns: int
    size: int
    inode: int


@dataclass(frozen=True, slots=True)
class Content:
    """What is in a file: its text with lines ended by \\n, and how the file ends and begins them,
    so that it is written as it was."""

    text: str
    data: bytes
    crlf: bool = False
    mark: bool = False


def content_of(data: bytes, name: str) -> Content:
    """The text in a file's bytes. Errors: TuneError for what is no text."""
    text = decoded(data, name)
    if "\x00" in text:
        line = text.count("\n", 0, text.index("\x00")) + 1
        place = Place(line, 1, name)
        raise TuneError(Problem("a zero byte", "A tune is plain text", "take another file", place))
    crlf = text.count("\r\n") * 2 > text.count("\n") > 0
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    return Content(plain, data, crlf, data.startswith(b"\xef\xbb\xbf"))


def bytes_of(text: str, like: Content | None = None) -> bytes:
    """A text as the bytes of a file that is written as another was."""
    if like is not None and like.crlf:
        text = text.replace("\n", "\r\n")
    return (b"\xef\xbb\xbf" if like is not None and like.mark else b"") + text.encode("utf-8")


def checked_name(name: str) -> str:
    """A name that may become a file's. Errors: DeskError."""
    plain = unicodedata.normalize("NFC", name)
    fine = (
        0 < len(plain) <= MAX_NAME
        and len(plain.encode("utf-8", "replace")) <= 2 * MAX_NAME
        and _NAME.fullmatch(plain) is not None
        and plain[0] not in ". -"
        and plain[-1] not in ". "
        and plain.isprintable()
        and _RESERVED.fullmatch(plain) is None
    )
    if not fine:
        raise refused(
            WRONG,
            f"{shown(name)} is no name of a tune",
            f"A name has 1 to {MAX_NAME} letters, figures, blanks or hyphens",
            "choose another name",
        )
    return name


class Shelf:
    """One folder. Errors everywhere: DeskError, FileError."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()
        if not self.folder.is_dir():
            raise FileError(str(folder), "not a folder", "name a folder for your tunes")
        self.own = self.folder / OWN
        self._held = -1

    def prepare(self) -> None:
        """Make the desk's own folder, and hold it. Errors: FileError."""
        try:
            if self.own.is_symlink():
                raise FileError(str(self.own), "a link", "take it away")
            self.own.mkdir(mode=0o700, exist_ok=True)
            self._lock()
            ignore = self.own / ".gitignore"
            if not ignore.exists():
                write_whole(ignore, b"*\n")
        except FileError:
            raise
        except OSError as error:
            what = error.strerror or str(error)
            raise FileError(str(self.own), what, "choose a folder you may write in") from None

    def _lock(self) -> None:
        """Hold the folder for as long as this shelf is used: two desks would write one journal.
        The system lets go of it when the process ends, however it ends."""
        try:
            import fcntl
        except ImportError:  # no such lock on this system
            return
        if self._held >= 0:
            return
        flags = os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0)
        self._held = os.open(self.own / "lock", flags, 0o600)
        try:
            fcntl.flock(self._held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            self.release()
            mend = "use its page, or stop it in its terminal"
            raise FileError(str(self.folder), "another desk is open over it", mend) from None
        except OSError:  # a file system without locks
            self.release()

    def release(self) -> None:
        """Let another desk have the folder."""
        if self._held >= 0:
            os.close(self._held)
            self._held = -1

    def path(self, name: str) -> Path:
        """Where a tune is or would be. Errors: DeskError for a name that is none, or a link."""
        path = self.folder / (checked_name(name) + SUFFIX)
        if path.is_symlink():
            raise refused(
                WRONG,
                f"{shown(name)} is a link",
                "The desk opens plain files in its own folder only",
                "put a copy of the file there",
            )
        return path

    def kept(self, name: str, suffix: str) -> Path:
        """Where the desk keeps something of a tune."""
        return self.own / (checked_name(name) + suffix)

    def names(self) -> list[str]:
        """The tunes there are, in the order of letters."""
        return sorted((name for name, _ in self.stamps()), key=str.lower)

    def stamps(self) -> Iterator[tuple[str, Stamp]]:
        """Every tune and the stamp of its file; links and strange names are passed by."""
        try:
            with os.scandir(self.folder) as entries:
                found = [entry for entry in entries if entry.name.endswith(SUFFIX)][:MAX_TUNES]
        except OSError as error:
            what = error.strerror or str(error)
            raise FileError(str(self.folder), what, "is the folder still there?") from None
        for entry in found:
            name = entry.name.removesuffix(SUFFIX)
            try:
                status = entry.stat(follow_symlinks=False)
                checked_name(name)
            except (OSError, DeskError):
                continue
            if stat.S_ISREG(status.st_mode):
                yield name, _stamp(status)

    def stamp(self, name: str) -> Stamp | None:
        """The stamp of a tune's file; None when it is not there."""
        try:
            status = self.path(name).lstat()
        except OSError:
            return None
        return _stamp(status) if stat.S_ISREG(status.st_mode) else None

    def read(self, name: str) -> Content:
        """What is in a tune's file. Errors: TuneError, DeskError for one that is not there."""
        path = self.path(name)
        if not path.exists():
            raise absent(name)
        return content_of(read_bytes(path, MAX_BYTES), f"{name}{SUFFIX}")

    def write(self, name: str, data: bytes) -> None:
        """Put a tune's file in place whole. Errors: DiskError."""
        try:
            write_whole(self.path(name), data)
        except FileError as error:
            cause = error.__context__
            raise DiskError(cause if isinstance(cause, OSError) else error) from None

    def free_name(self, wanted: str) -> str:
        """A name nobody has yet, from a title."""
        base = (slug(wanted) or "tune")[: MAX_NAME - 6].strip("-") or "tune"
        if _RESERVED.fullmatch(base):
            base = f"tune-{base}"
        taken = {name.lower() for name in self.names()}
        number = 1
        name = base
        while name in taken or os.path.lexists(self.folder / (name + SUFFIX)):
            number += 1
            name = f"{base}-{number}"
        return name


def absent(name: str) -> Exception:
    """A tune that is not there."""
    return refused(
        ABSENT, f"there is no tune {shown(name)}", "", "choose one of the shelf, or begin a new one"
    )


def _stamp(status: os.stat_result) -> Stamp:
    return Stamp(status.st_mtime_ns, status.st_size, status.st_ino)
