"""Editable tables: the ones that come with the program, or a teacher's own in their place.

Conventions: a table is a TOML file in the `data` folder of the room that owns it. A teacher's own
copy is looked for by the same name in the folder that the environment variable REEDWRIGHT_TABLES
names. Only the tables in EDITABLE can be replaced; the room that owns one checks what is in it.
Each is read once, when it is first needed.
"""

from __future__ import annotations

import hashlib
import os
from importlib.resources import files
from pathlib import Path

from reedwright.errors import FileError
from reedwright.files import read_bytes

FOLDER_VARIABLE = "REEDWRIGHT_TABLES"
EDITABLE = {
    "techniques.toml": "reedwright.tune",
    "marking.toml": "reedwright.performance",
    "moves.toml": "reedwright.check",
    "effort.toml": "reedwright.fit",
    "lesson.toml": "reedwright.lesson",
    "plan.toml": "reedwright.lesson",
    "band.toml": "reedwright.band",
}
"""Each editable table and the room that owns it."""

MAX_BYTES = 1_000_000


def table_text(name: str) -> tuple[str, str]:
    """The text of an editable table, and the name to give it in errors.

    Errors: FileError when a teacher's own copy cannot be read.
    """
    own = _own(name)
    if own is None:
        return packaged_text(name), name
    try:
        return read_bytes(own, MAX_BYTES).decode("utf-8-sig"), str(own)
    except UnicodeDecodeError:
        raise FileError(str(own), "not UTF-8 text", "save it as UTF-8 in your editor") from None


def packaged_text(name: str) -> str:
    """The text of the table that comes with the program."""
    return files(EDITABLE[name]).joinpath("data", name).read_text(encoding="utf-8")


def own_tables() -> dict[str, str]:
    """SHA-256 of each table of the teacher's own in use, by name. Errors: FileError."""
    found = ((name, _own(name)) for name in EDITABLE)
    return {
        name: hashlib.sha256(read_bytes(path, MAX_BYTES)).hexdigest()
        for name, path in found
        if path
    }


def _own(name: str) -> Path | None:
    folder = os.environ.get(FOLDER_VARIABLE, "")
    path = Path(folder) / name
    return path if folder and path.exists() else None
