"""`pack.json`: what a pack holds and what it was made from.

Conventions: schema "reedwright.pack/1"; `sha256` in lower-case hexadecimal of a file's bytes; paths
are bare names in the pack's folder or in one of its SUBFOLDERS, with `/` between; `made` says how a
recording was made. No times and no place: the same input gives the same bytes. A manifest read from
disk is somebody's text: what does not fit the schema is no manifest.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from hashlib import file_digest, sha256
from pathlib import Path
from typing import Any

from reedwright.errors import FileError
from reedwright.files import read_bytes

NAME, TUNE = "pack.json", "tune.reed"
SCHEMA = "reedwright.pack/1"
SUBFOLDERS = ("audio",)
_MAX_BYTES = 16_000_000  # tens of thousands of entries; a pack has a hundred or two
_HASH = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Entry:
    """One file of a pack. `made`: how a recording was made (tempo, seed, recipe …)."""

    path: str
    bytes: int
    sha256: str
    made: Mapping[str, Any] = field(default_factory=dict)

    def is_in(self, folder: Path) -> bool:
        """Whether the folder holds exactly this file."""
        path = folder / self.path
        try:
            if path.is_symlink() or not path.is_file() or path.stat().st_size != self.bytes:
                return False
            with path.open("rb") as file:
                return file_digest(file, "sha256").hexdigest() == self.sha256
        except OSError:
            return False


@dataclass(frozen=True, slots=True)
class Manifest:
    """`about` is told to readers (title, harp …); `made_from` decides whether it is still fresh."""

    about: Mapping[str, Any]
    made_from: Mapping[str, Any]
    files: tuple[Entry, ...]

    def as_bytes(self) -> bytes:
        rows = [_row(entry) for entry in self.files]
        document = {"schema": SCHEMA, **self.about, "made_from": self.made_from, "files": rows}
        return (json.dumps(document, indent=2, ensure_ascii=False) + "\n").encode("utf-8")

    @property
    def copied(self) -> frozenset[str]:
        """Names of the files that are copies of a user's own: the tune, tunings, temperaments."""
        own = self.made_from.get("own_files")
        return frozenset([TUNE, *(own if isinstance(own, dict) else ())])

    def entry(self, path: str) -> Entry | None:
        return next((entry for entry in self.files if entry.path == path), None)


def _row(entry: Entry) -> dict[str, Any]:
    row = {"path": entry.path, "bytes": entry.bytes, "sha256": entry.sha256}
    return row | ({"made": entry.made} if entry.made else {})


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
    if not isinstance(row, dict) or set(row) - {"made"} != {"path", "bytes", "sha256"}:
        return None
    path, size, checksum, made = row["path"], row["bytes"], row["sha256"], row.get("made", {})
    kinds = isinstance(path, str), isinstance(checksum, str), isinstance(made, dict)
    if not all(kinds) or type(size) is not int:
        return None
    if not is_inside(path) or size < 0 or not _HASH.fullmatch(checksum):
        return None
    return Entry(path, size, checksum, made)


def is_bare(name: str) -> bool:
    """Whether a name stays inside its folder, and is not one of our own hidden names."""
    return 0 < len(name) < 200 and name[0] != "." and not set(name) & set("/\\:\0")


def is_inside(path: str) -> bool:
    """Whether a path is a bare name, or one in a subfolder that packs have."""
    subfolder, stroke, name = path.rpartition("/")
    return is_bare(name) and (not stroke or subfolder in SUBFOLDERS)
