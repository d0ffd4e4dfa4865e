"""Looking at packs from the tests: what is in a folder, and whether its manifest is true."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

from reedwright.pack.folder import Item, replace_files
from reedwright.pack.manifest import Entry, Manifest, digest
from reedwright.pack.moving import Moved

TUNE = """\
Title: Small
Harp: C
Position: second

Lick Call
1: 2d 3d' 4d 4b
"""


def files_in(folder: Path) -> dict[str, bytes]:
    """Every file by its path in the folder, hidden ones too."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def manifest_of(folder: Path) -> dict[str, Any]:
    document = json.loads((folder / "pack.json").read_text(encoding="utf-8"))
    assert isinstance(document, dict)
    return document


def untrue(folder: Path) -> list[str]:
    """Files of which the manifest says something wrong; by hashlib, not by our own reader."""
    wrong = []
    for row in manifest_of(folder)["files"]:
        path = folder / row["path"]
        data = path.read_bytes() if path.is_file() else b""
        if (len(data), hashlib.sha256(data).hexdigest()) != (row["bytes"], row["sha256"]):
            wrong.append(row["path"])
    return wrong


def hidden(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if path.name.startswith("."))


def manifest(files: dict[str, bytes]) -> Manifest:
    """The manifest of some files."""
    entries = tuple(Entry(name, len(data), digest(data)) for name, data in sorted(files.items()))
    return Manifest({"title": "T"}, {"tune": "0"}, entries)


def replace(folder: Path, files: dict[str, bytes]) -> Moved:
    """Put some files into an opened folder; the manifest is that of `manifest`."""
    items = (Item(name, data) for name, data in files.items())
    moved, new = replace_files(
        folder, items, lambda entries: Manifest({"title": "T"}, {"tune": "0"}, entries)
    )
    assert new == manifest(files)
    return moved
