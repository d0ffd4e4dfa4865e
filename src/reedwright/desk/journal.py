"""Every edit of a tune, on disk before it is acknowledged; the history is read from it.

A journal is a file of lines, only ever added to: a checksum (SHA-256, first 16 hex digits), a
blank, and one JSON object. Kinds of record: `text` (the whole text), `change` (a part of it, as
offsets in characters), `aside` (a text that lost a conflict: in the history, not in the tune) and
`saved` (the tune's file now holds this version; SHA-256 of its bytes). A line that is not whole or
whose checksum is wrong ends the reading: it was being written when the power went, and was never
acknowledged; what stands behind it is cut off before the next record.

Conventions: `at` in seconds since 1970; versions count up and are never given twice. The fsync of
a record is awaited. No clock in here: times are passed in.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from reedwright.desk.faults import DiskError
from reedwright.errors import FileError
from reedwright.files import reason, write_whole

WHOLE_EVERY = 200
"""Changes between whole texts, so that one damaged record costs little."""

MAX_BYTES = 16_000_000
"""A longer journal is thinned: its older half keeps one state a minute (from memory)."""

_CHECK = 16
_TAIL = 1_000
"""Bytes: a `saved` record has some 130."""


@dataclass(frozen=True, slots=True)
class Record:
    """One line of a journal; `text` is the whole text after it (of an aside: its own)."""

    kind: str
    version: int
    at: float
    text: str
    window: str = ""
    sha: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """What is added: `record` says what the text is after it, `before` what it was."""

    record: Record
    before: str | None = None

    def encoded(self) -> bytes:
        """The line as bytes."""
        record = self.record
        told: dict[str, Any] = {"k": record.kind, "v": record.version, "at": round(record.at, 3)}
        if record.kind == "saved":
            told["sha"] = record.sha
        elif record.kind == "change" and self.before is not None:
            told["c"] = _difference(self.before, record.text)
        else:
            told["t"] = record.text
        said = {"w": record.window, "y": record.why}
        return _sealed(told | {key: value for key, value in said.items() if value})


def _sealed(told: dict[str, Any]) -> bytes:
    body = json.dumps(told, ensure_ascii=False, separators=(",", ":")).encode("utf-8")
    return hashlib.sha256(body).hexdigest()[:_CHECK].encode() + b" " + body + b"\n"


def _difference(before: str, after: str) -> list[Any]:
    """Where the two differ: [from, to, insert], in characters."""
    start = _alike(before, after, min(len(before), len(after)))
    most = min(len(before), len(after)) - start
    same = _alike(before[::-1], after[::-1], most)
    return [start, len(before) - same, after[start : len(after) - same]]


def _alike(one: str, other: str, most: int) -> int:
    """How many of the first characters are the same, at most so many; by halving."""
    low, high = 0, most
    while low < high:
        middle = (low + high + 1) // 2
        if one[low:middle] == other[low:middle]:
            low = middle
        else:
            high = middle - 1
    return low


class Journal:
    """The journal of one tune. Not shared between threads: the book that holds it is locked."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._file = -1
        self._size = 0

    def records(self) -> Iterator[Record]:
        """All records in order. Errors: FileError for a file that cannot be read."""
        try:
            file = self.path.open("rb")
        except FileNotFoundError:
            return
        except OSError as error:
            raise FileError(str(self.path), reason(error), "check your rights to it") from None
        text = ""
        with file:
            for line in file:
                told = _opened(line)
                if told is None:
                    return
                record = _record(told, text)
                if record is None:
                    return
                if record.kind in ("text", "change"):
                    text = record.text
                yield record

    def settled(self) -> bool:
        """Whether all of it is in the tune's file, told from the end of the journal alone."""
        try:
            with self.path.open("rb") as file:
                file.seek(0, os.SEEK_END)
                file.seek(max(0, file.tell() - _TAIL))
                last = file.read().rpartition(b"\n")[0].rpartition(b"\n")[2]
        except OSError:
            return False
        told = _opened(last + b"\n")
        return told is not None and told.get("k") == "saved"

    def sound_bytes(self) -> int:
        """How much of the file is whole records."""
        size = 0
        with contextlib.suppress(FileNotFoundError), self.path.open("rb") as file:
            for line in file:
                if _opened(line) is None:
                    break
                size += len(line)
        return size

    def append(self, *lines: Line) -> None:
        """Add records and wait until the disk has them; all of them or none.

        Errors: DiskError.
        """
        data = b"".join(line.encoded() for line in lines)
        try:
            self._open()
            self._write(data)
            os.fsync(self._file)
        except OSError as error:
            self._undo()
            raise DiskError(error) from None
        self._size += len(data)

    @property
    def full(self) -> bool:
        return self._size > MAX_BYTES

    def rewrite(self, lines: list[Line]) -> None:
        """Put these records in place of all. Errors: FileError."""
        self.close()
        write_whole(self.path, b"".join(line.encoded() for line in lines))

    def close(self) -> None:
        if self._file >= 0:
            os.close(self._file)
            self._file = -1

    def _open(self) -> None:
        if self._file >= 0:
            return
        new = not self.path.exists()
        sound = self.sound_bytes()
        flags = os.O_WRONLY | os.O_CREAT | os.O_APPEND | getattr(os, "O_NOFOLLOW", 0)
        self._file = os.open(self.path, flags, 0o600)
        os.ftruncate(self._file, sound)
        self._size = sound
        if new:
            _sync_folder(self.path.parent)

    def _write(self, data: bytes) -> None:
        view = memoryview(data)
        while view:
            view = view[os.write(self._file, view) :]

    def _undo(self) -> None:
        """Take away what a full disk took of a record."""
        if self._file >= 0:
            with contextlib.suppress(OSError):
                os.ftruncate(self._file, self._size)
            self.close()  # the next record looks at the file anew


def _opened(line: bytes) -> dict[str, Any] | None:
    """The object of a line; None when the line is not whole."""
    check, _, body = line.partition(b" ")
    if not line.endswith(b"\n") or len(check) != _CHECK:
        return None
    body = body[:-1]
    if hashlib.sha256(body).hexdigest()[:_CHECK].encode() != check:
        return None
    try:
        told = json.loads(body)
    except ValueError:
        return None
    return told if isinstance(told, dict) else None


def _record(told: dict[str, Any], text: str) -> Record | None:
    """A record after a text; None for what this version does not know."""
    try:
        kind, version, at = str(told["k"]), int(told["v"]), float(told["at"])
        if kind == "change":
            start, end, insert = told["c"]
            after = text[: int(start)] + str(insert) + text[int(end) :]
        elif kind in ("text", "aside"):
            after = str(told["t"])
        else:
            after = text
    except (KeyError, TypeError, ValueError):
        return None
    words = (str(told.get(key, "")) for key in ("w", "sha", "y"))
    return Record(kind, version, at, after, *words)


def _sync_folder(folder: Path) -> None:
    """A new file's name is on the disk, too; systems that cannot sync a folder do so themselves."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
