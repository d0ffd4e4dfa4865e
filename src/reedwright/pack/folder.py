"""A pack's folder: files moved in together, nothing of the user's lost, any interruption mended.

How: new files are built in the hidden folder BUILDING inside the pack's own folder (so that moving
is renaming, on any file system), the manifest last. Renaming it to READY is the commit: before it
the old pack stands untouched, after it the moving-in is finished by this run or by the next one
(see `moving`). Files are written one by one as they come, so that recordings never fill the memory.
A run cleans what a killed run left. The folder itself is locked (flock), and the lock ends with its
process.
"""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from hashlib import file_digest
from pathlib import Path
from typing import Any

from reedwright.errors import FileError
from reedwright.files import reason
from reedwright.pack import manifest
from reedwright.pack.manifest import Entry, Manifest
from reedwright.pack.moving import Moved, is_ready, move_in, sync

PATIENCE_S = 5.0
"""How long to wait for another run; moving in takes some hundredths of a second."""

BUILDING, READY = ".reedwright-building", ".reedwright-ready"


@dataclass(frozen=True, slots=True)
class Item:
    """A file to go into a pack: its path there, its bytes or a file that holds them, and how a
    recording was made."""

    path: str
    data: bytes | Path
    made: Mapping[str, Any] = field(default_factory=dict)


@contextmanager
def opened(folder: Path) -> Iterator[None]:
    """The folder, made if need be, locked, and with a killed run's work finished or cleaned.

    A folder made here and left empty is taken away again. Errors: FileError.
    """
    with _told(folder):
        made = not folder.exists()
        folder.mkdir(parents=True, exist_ok=True)
        handle = _locked(folder)
    try:
        with _told(folder):
            mend(folder)
        yield
    finally:
        if made and not any(folder.iterdir()):
            folder.rmdir()
        if handle is not None:
            os.close(handle)


def _locked(folder: Path) -> int | None:
    try:
        import fcntl
    except ImportError:  # no such lock on this system
        return None
    handle = os.open(folder, os.O_RDONLY)
    last_s = time.monotonic() + PATIENCE_S
    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() < last_s:
                time.sleep(0.05)
                continue
            os.close(handle)
            busy = "another run is writing into this folder"
            raise FileError(str(folder), busy, "wait until it is done") from None
        except OSError:  # a file system without locks
            os.close(handle)
            return None
        return handle


def mend(folder: Path) -> None:
    """Finish a move that was cut short, and clean what was never finished. Errors: FileError."""
    if os.path.lexists(folder / READY):
        if not is_ready(folder / READY):
            raise _strange(folder / READY)
        move_in(folder, folder / READY)
    _clear(folder / BUILDING)
    if os.path.lexists(folder / BUILDING):
        raise _strange(folder / BUILDING)


def _strange(path: Path) -> FileError:
    what = "a hidden item that no run of ours leaves like this; it is in the way of a pack"
    return FileError(str(path), what, f"look into it, then delete {path.name} in that folder")


def replace_files(
    folder: Path, items: Iterable[Item], manifest_of: Callable[[tuple[Entry, ...]], Manifest]
) -> tuple[Moved, Manifest]:
    """Put files, and the manifest that lists them, into an opened folder.

    Errors: FileError, and whatever is raised while the items are made; the old pack stays then.
    """
    building = folder / BUILDING
    with _told(folder):
        building.mkdir()
    try:
        entries = []
        for item in items:
            with _told(folder):
                entries.append(_built(building, item))
        new = manifest_of(tuple(sorted(entries, key=lambda entry: entry.path)))
        with _told(folder):
            _write(building / manifest.NAME, new.as_bytes())
            building.rename(folder / READY)
    except BaseException:
        _clear(building)
        raise
    with _told(folder):
        sync(folder)
        return move_in(folder, folder / READY), new


def _built(building: Path, item: Item) -> Entry:
    path = building / item.path
    path.parent.mkdir(exist_ok=True)
    _write(path, item.data)
    with path.open("rb") as file:
        checksum = file_digest(file, "sha256").hexdigest()
    return Entry(item.path, path.stat().st_size, checksum, item.made)


def _write(path: Path, data: bytes | Path) -> None:
    with path.open("xb") as file:
        if isinstance(data, Path):
            with data.open("rb") as source:
                shutil.copyfileobj(source, file, 1 << 20)
        else:
            file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _clear(path: Path) -> None:
    if path.is_symlink() or path.is_file():
        path.unlink()
    elif path.is_dir():
        shutil.rmtree(path, ignore_errors=True)


@contextmanager
def _told(folder: Path) -> Iterator[None]:
    """Faults of the file system as FileError."""
    try:
        yield
    except FileError:
        raise
    except (OSError, ValueError) as error:
        raise FileError(str(folder), reason(error), "check the folder and the space left") from None
