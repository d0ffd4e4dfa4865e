"""A pack's folder: files moved in together, nothing of the user's lost, any interruption mended.

How: new files are built in the hidden folder BUILDING inside the pack's own folder (so that moving
is renaming, on any file system), the manifest last. Renaming it to READY is the commit: before it
the old pack stands untouched, after it the moving-in is finished by this run or by the next one.
A run cleans what a killed run left. The folder itself is locked (flock), and the lock ends with
its process.

The user's own: files that no manifest lists are never touched. A listed file that was changed, or
a strange file in the way of a new one, is renamed (`sheet.kept.txt`). A copy of a user's words (the
tune, own tunings) in the way is strange even with the same bytes: nobody but the user wrote it.
"""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from reedwright.errors import FileError
from reedwright.pack import manifest
from reedwright.pack.manifest import Manifest, entry_of, read_manifest

PATIENCE_S = 5.0
"""How long to wait for another run; moving in takes some hundredths of a second."""

BUILDING, READY = ".reedwright-building", ".reedwright-ready"


@dataclass(frozen=True, slots=True)
class Moved:
    """Names of files: written anew, left as they were, gone, and (old name, new name) kept."""

    written: tuple[str, ...]
    same: tuple[str, ...]
    gone: tuple[str, ...]
    kept: tuple[tuple[str, str], ...]


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
        if not _is_ready(folder / READY):
            raise _strange(folder / READY)
        _move_in(folder)
    _clear(folder / BUILDING)
    if os.path.lexists(folder / BUILDING):
        raise _strange(folder / BUILDING)


def _is_ready(ready: Path) -> bool:
    """Whether this is what a run leaves when it is cut short: plain files that a manifest beside
    them lists, or nothing any more."""
    if ready.is_symlink() or not ready.is_dir():
        return False
    found = list(ready.iterdir())
    if any(path.is_symlink() or not path.is_file() for path in found):
        return False
    new = read_manifest(ready) if found else None
    names = {path.name for path in found} - {manifest.NAME}
    return not found or (new is not None and names <= {entry.path for entry in new.files})


def _strange(path: Path) -> FileError:
    what = "a hidden item that no run of ours leaves like this; it is in the way of a pack"
    return FileError(str(path), what, f"look into it, then delete {path.name} in that folder")


def replace_files(folder: Path, files: Mapping[str, bytes], new: Manifest) -> Moved:
    """Put the files of a new manifest into an opened folder. Errors: FileError."""
    building = folder / BUILDING
    with _told(folder):
        try:
            building.mkdir()
            for name, data in files.items():
                _write(building / name, data)
            _write(building / manifest.NAME, new.as_bytes())
            building.rename(folder / READY)
        except BaseException:
            _clear(building)
            raise
        _sync(folder)
        return _move_in(folder)


def _move_in(folder: Path) -> Moved:
    """Move everything out of READY, the manifest last; may be begun again at any point."""
    ready = folder / READY
    old, new = read_manifest(folder), read_manifest(ready)
    written, same, gone, kept = [], [], [], []
    names = sorted(path.name for path in ready.iterdir() if path.name != manifest.NAME)
    for name in names:
        ours = old is not None and old.entry(name) is not None
        users = not ours and new is not None and name in new.copied
        if not users and entry_of(name, (ready / name).read_bytes()).is_in(folder):
            (ready / name).unlink()
            same.append(name)
            continue
        kept += _kept(folder, name, old)
        (ready / name).replace(folder / name)
        written.append(name)
    if new is not None and old is not None:
        gone = [entry.path for entry in old.files if new.entry(entry.path) is None]
        gone = [name for name in gone if _remove(folder, name, old)]
    if (ready / manifest.NAME).exists():
        if old is None:
            kept += _kept(folder, manifest.NAME, None)
        (ready / manifest.NAME).replace(folder / manifest.NAME)
    _sync(folder)
    ready.rmdir()
    return Moved(tuple(written), tuple(same), tuple(gone), tuple(kept))


def _kept(folder: Path, name: str, old: Manifest | None) -> list[tuple[str, str]]:
    """Rename what stands in the way unless it is the old pack's own."""
    path = folder / name
    if not os.path.lexists(path):
        return []
    entry = old.entry(name) if old is not None else None
    if entry is not None and entry.is_in(folder):
        return []
    stem, dot, ending = name.partition(".")
    number = 1
    while os.path.lexists(folder / (other := _kept_name(stem, dot + ending, number))):
        number += 1
    path.rename(folder / other)
    return [(name, other)]


def _kept_name(stem: str, ending: str, number: int) -> str:
    return f"{stem}.kept{'' if number == 1 else f'-{number}'}{ending}"


def _remove(folder: Path, name: str, old: Manifest) -> bool:
    """Take away a file the new pack no longer has, if it is still as the old one made it."""
    entry = old.entry(name)
    if entry is None or not entry.is_in(folder):
        return False
    (folder / name).unlink()
    return True


def _write(path: Path, data: bytes) -> None:
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _sync(folder: Path) -> None:
    """Let the renames reach the disk, where the system can be asked to."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)


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
        text = getattr(error, "strerror", None) or str(error)
        what = text[:1].lower() + text[1:]
        raise FileError(str(folder), what, "check the folder and the space left") from None
