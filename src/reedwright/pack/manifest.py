"""`pack.json`: what a pack holds and what it was made from.

Conventions: schema "reedwright.pack/1"; `sha256` in lower-case hexadecimal of a file's bytes; paths
are bare names in the pack's folder. No times and no place: the same input gives the same bytes.
A manifest read from disk is somebody's text: what does not fit the schema is no manifest.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from reedwright.errors import FileError
from reedwright.files import read_bytes

NAME, TUNE = "pack.json", "tune.reed"
SCHEMA = "reedwright.pack/1"
_MAX_BYTES = 4_000_000  # thousands of entries; a pack has a dozen or two
_MAX_FILE_BYTES = 2_000_000_000  # what a file of a pack may be to be looked at; later audio too
_HASH = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Entry:
    """One file of a pack."""

    path: str
    bytes: int
    sha256: str

    def is_in(self, folder: Path) -> bool:
        """Whether the folder holds exactly this file."""
        path = folder / self.path
        try:
            if path.is_symlink() or not path.is_file() or path.stat().st_size != self.bytes:
                return False
            return digest(read_bytes(path, _MAX_FILE_BYTES)) == self.sha256
        except OSError:
            return False


@dataclass(frozen=True, slots=True)
class Manifest:
    """`about` is told to readers (title, harp …); `made_from` decides whether it is still fresh."""

    about: Mapping[str, Any]
    made_from: Mapping[str, Any]
    files: tuple[Entry, ...]

    def as_bytes(self) -> bytes:
        rows = [{"path": e.path, "bytes": e.bytes, "sha256": e.sha256} for e in self.files]
        document = {"schema": SCHEMA, **self.about, "made_from": self.made_from, "files": rows}
        return (json.dumps(document, indent=2, ensure_ascii=False) + "\n").encode("utf-8")

    @property
    def copied(self) -> frozenset[str]:
        """Names of the files that are copies of a user's own: the tune, tunings, temperaments."""
        own = self.made_from.get("own_files")
        return frozenset([TUNE, *(own if isinstance(own, dict) else ())])

    def entry(self, path: str) -> Entry | None:
        return next((entry for entry in self.files if entry.path == path), None)


def digest(data: bytes) -> str:
    return sha256(data).hexdigest()


def entry_of(path: str, data: bytes) -> Entry:
    return Entry(path, len(data), digest(data))


def read_manifest(folder: Path) -> Manifest | None:
    """The manifest of a folder; None when there is none that can be understood.

    Errors: FileError for the manifest of a later version of reedwright, which is not ours to touch.
    """
    try:
        document = json.loads(read_bytes(folder / NAME, _MAX_BYTES))
    except (OSError, ValueError, RecursionError):
        return None
    if not isinstance(document, dict):
        return None
    schema = document.pop("schema", None)
    if schema != SCHEMA:
        if isinstance(schema, str) and re.fullmatch(r"reedwright\.pack/[0-9]{1,9}", schema):
            raise FileError(
                str(folder / NAME),
                f"written by another version ({schema})",
                "choose another folder",
            )
        return None
    made_from, rows = document.pop("made_from", None), document.pop("files", None)
    entries = _entries(rows)
    if not isinstance(made_from, dict) or entries is None:
        return None
    return Manifest(document, made_from, entries)


def _entries(rows: object) -> tuple[Entry, ...] | None:
    if not isinstance(rows, list):
        return None
    entries = [_entry(row) for row in rows]
    found = tuple(entry for entry in entries if entry is not None)
    return found if len(found) == len(rows) else None


def _entry(row: object) -> Entry | None:
    if not isinstance(row, dict) or set(row) != {"path", "bytes", "sha256"}:
        return None
    path, size, checksum = row["path"], row["bytes"], row["sha256"]
    sound = isinstance(path, str) and isinstance(checksum, str) and type(size) is int
    if not sound or not is_bare(path) or size < 0 or not _HASH.fullmatch(checksum):
        return None
    return Entry(path, size, checksum)


def is_bare(name: str) -> bool:
    """Whether a name stays inside its folder, and is not one of our own hidden names."""
    return 0 < len(name) < 200 and name[0] != "." and not set(name) & set("/\\:\0")
