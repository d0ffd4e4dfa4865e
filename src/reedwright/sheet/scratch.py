"""Private folders of one process, which go away with it, and those that killed processes left.

How: a folder stays locked (flock) while its process lives; the lock ends with the process, however
that ends. What is ours, a day old and no longer locked is swept away. Where a system has no such
lock nothing is swept.
"""

from __future__ import annotations

import atexit
import os
import shutil
import tempfile
from pathlib import Path

from reedwright.errors import FileError
from reedwright.files import reason

_PREFIX = "reedwright-"
STALE_S = 86_400.0  # a day: a folder just made and not yet locked is never taken for a stale one


def scratch_folder(kind: str) -> Path:
    """A new empty folder for this process, `reedwright-KIND-…` where the system keeps such.

    Errors: FileError where none can be made.
    """
    try:
        folder = Path(tempfile.mkdtemp(prefix=f"{_PREFIX}{kind}-"))
    except OSError as error:
        raise no_room(str(error.filename or "a temporary folder"), error) from None
    _lock(folder)  # the handle stays open as long as the process lives
    atexit.register(_remove, folder, os.getpid())
    return folder


def no_room(name: str, error: OSError) -> FileError:
    """What to say when nothing can be written among the system's temporary files."""
    return FileError(name, reason(error), "make room there, or name another folder by TMPDIR")


def sweep(now_s: float) -> None:
    """Remove what killed processes left; silent about what cannot be removed.

    `now_s`: seconds since 1970, as the file system stamps its folders.
    """
    if not hasattr(os, "getuid"):  # a system that does not say whose a folder is
        return
    try:
        with os.scandir(tempfile.gettempdir()) as entries:
            found = [Path(entry.path) for entry in entries if _is_stale(entry, now_s)]
    except OSError:
        return
    for folder in found:
        handle = _lock(folder)
        if handle is not None:
            shutil.rmtree(folder, ignore_errors=True)
            os.close(handle)


def _is_stale(entry: os.DirEntry[str], now_s: float) -> bool:
    if not entry.name.startswith((f"{_PREFIX}fonts-", f"{_PREFIX}sheet-")):
        return False
    try:
        if not entry.is_dir(follow_symlinks=False):
            return False
        status = entry.stat(follow_symlinks=False)
    except OSError:  # it went away meanwhile
        return False
    return status.st_uid == os.getuid() and now_s - status.st_mtime > STALE_S


def _lock(folder: Path) -> int | None:
    """A handle that holds the lock of a folder; None where somebody else does or none can."""
    try:
        import fcntl
    except ImportError:  # no such lock on this system
        return None
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return None
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        os.close(handle)
        return None
    return handle


def _remove(folder: Path, process: int) -> None:
    if os.getpid() == process:  # a forked child must not take its parent's folder away
        shutil.rmtree(folder, ignore_errors=True)
