"""Moving a built pack into its folder; may be cut short anywhere and begun again.

Conventions: the built files lie in a folder of their own inside the pack's, with the manifest that
lists them; the manifest is moved last. The user's own: files that no manifest lists are never
touched. A listed file that was changed, or a strange file in the way of a new one, is renamed
(`sheet.kept.txt`). A copy of a user's words (the tune, own tunings) in the way is strange even with
the same bytes: nobody but the user wrote it.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from reedwright.pack import manifest
from reedwright.pack.manifest import SUBFOLDERS, Manifest, read_manifest


@dataclass(frozen=True, slots=True)
class Moved:
    """Names of files: written anew, left as they were, gone, and (old name, new name) kept."""

    written: tuple[str, ...]
    same: tuple[str, ...]
    gone: tuple[str, ...]
    kept: tuple[tuple[str, str], ...]


def is_ready(ready: Path) -> bool:
    """Whether this is what a run leaves when it is cut short: plain files that a manifest beside
    them lists, or nothing any more."""
    if ready.is_symlink() or not ready.is_dir():
        return False
    found = list(_found(ready))
    if any(path.is_symlink() or not path.is_file() for path in found):
        return False
    new = read_manifest(ready) if found else None
    names = {_name(path, ready) for path in found} - {manifest.NAME}
    return not found or (new is not None and names <= {entry.path for entry in new.files})


def _found(ready: Path) -> Iterator[Path]:
    """All that lies there, and in the subfolders packs have; their own folders left out."""
    for path in sorted(ready.iterdir()):
        if path.name in SUBFOLDERS and path.is_dir() and not path.is_symlink():
            yield from sorted(path.iterdir())
        else:
            yield path


def _name(path: Path, ready: Path) -> str:
    return path.relative_to(ready).as_posix()


def move_in(folder: Path, ready: Path) -> Moved:
    """Move everything out of `ready`, the manifest last; may be begun again at any point."""
    old, new = read_manifest(folder), read_manifest(ready)
    written: list[str] = []
    same: list[str] = []
    gone: list[str] = []
    kept: list[tuple[str, str]] = []
    for path in [path for path in _found(ready) if path.name != manifest.NAME]:
        name = _name(path, ready)
        if _as_it_was(folder, name, old, new):
            path.unlink()
            same.append(name)
            continue
        kept += _subfolder(folder, name)
        kept += _kept(folder, name, old)
        path.replace(folder / name)
        written.append(name)
    if new is not None and old is not None:
        gone = [entry.path for entry in old.files if new.entry(entry.path) is None]
        gone = [name for name in gone if _remove(folder, name, old)]
    if (ready / manifest.NAME).exists():
        if old is None:
            kept += _kept(folder, manifest.NAME, None)
        (ready / manifest.NAME).replace(folder / manifest.NAME)
    for path in [folder, *(folder / name for name in SUBFOLDERS)]:
        sync(path)
    for path in [*(ready / name for name in SUBFOLDERS), ready]:
        if path.is_dir():
            path.rmdir()
    return Moved(tuple(written), tuple(same), tuple(gone), tuple(kept))


def _as_it_was(folder: Path, name: str, old: Manifest | None, new: Manifest | None) -> bool:
    """Whether the very file is there already, and is not somebody's own."""
    ours = old is not None and old.entry(name) is not None
    if new is None or (not ours and name in new.copied):
        return False
    entry = new.entry(name)
    return entry is not None and entry.is_in(folder)


def _subfolder(folder: Path, name: str) -> list[tuple[str, str]]:
    """Make the subfolder a file goes into; what is no folder there is renamed."""
    parent = (folder / name).parent
    if parent == folder or (parent.is_dir() and not parent.is_symlink()):
        return []
    kept = _kept(folder, parent.name, None)
    parent.mkdir()
    return kept


def _kept(folder: Path, name: str, old: Manifest | None) -> list[tuple[str, str]]:
    """Rename what stands in the way unless it is the old pack's own."""
    path = folder / name
    if not os.path.lexists(path):
        return []
    entry = old.entry(name) if old is not None else None
    if entry is not None and entry.is_in(folder):
        return []
    number = 1
    while os.path.lexists(folder / (other := _kept_name(name, number))):
        number += 1
    path.rename(folder / other)
    return [(name, other)]


def _kept_name(name: str, number: int) -> str:
    path = PurePosixPath(name)
    return str(
        path.with_name(f"{path.stem}.kept{'' if number == 1 else f'-{number}'}{path.suffix}")
    )


def _remove(folder: Path, name: str, old: Manifest) -> bool:
    """Take away a file the new pack no longer has, if it is still as the old one made it; and the
    subfolder it was the last one in."""
    entry = old.entry(name)
    if entry is None or not entry.is_in(folder):
        return False
    path = folder / name
    path.unlink()
    if path.parent != folder and not any(path.parent.iterdir()):
        path.parent.rmdir()
    return True


def sync(folder: Path) -> None:
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
