"""Reading with a limit and writing whole, for every room that touches the disk.

Conventions: sizes in bytes. `write_whole` writes beside the target and renames over it, so a
reader finds the old file or the new one, never a part. A link stays a link: what it leads to is
written. Only a plain file is ever replaced.
"""

from __future__ import annotations

import os
import stat
import tempfile
from pathlib import Path

from reedwright.errors import FileError


def read_bytes(path: Path, limit: int) -> bytes:
    """All bytes of a regular file of at most `limit`. Errors: FileError."""
    try:
        with open(path, "rb", opener=_at_once) as file:
            status = os.fstat(file.fileno())
            if not stat.S_ISREG(status.st_mode):
                raise FileError(str(path), "not a plain file", "name a file")
            data = file.read(limit + 1) if status.st_size <= limit else b""
    except FileError:
        raise
    except (OSError, ValueError) as error:
        raise FileError(str(path), reason(error), "check its name and your rights to it") from None
    if status.st_size > limit or len(data) > limit:
        size = f"{max(status.st_size, len(data)):,} bytes, more than {limit:,}"
        raise FileError(str(path), size, "name a tune file, or split it")
    return data


def _at_once(name: str, flags: int) -> int:
    """Open without waiting, so that a pipe nobody writes into is refused and not waited for."""
    return os.open(name, flags | getattr(os, "O_NONBLOCK", 0))


def write_whole(path: Path, data: bytes) -> None:
    """Write a file so that it is there whole or not at all. Errors: FileError."""
    name = ""
    try:
        target = _plain_target(path)
        handle, name = tempfile.mkstemp(prefix=f".{path.name[:40]}.", dir=target.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(_mode(target))
        Path(name).replace(target)
    except FileError:
        raise
    except (OSError, ValueError) as error:
        if name:
            Path(name).unlink(missing_ok=True)
        raise FileError(str(path), reason(error), "check the folder and the space left") from None


def _plain_target(path: Path) -> Path:
    """Where a link leads. Errors: FileError for a device, a pipe or a socket: renaming over it
    would take it away. A folder or a loop of links is left to the system to refuse."""
    target = Path(os.path.realpath(path)) if os.path.islink(path) else path  # noqa: PTH114
    try:
        kind = target.stat().st_mode
    except FileNotFoundError:
        return target
    if stat.S_ISREG(kind) or stat.S_ISDIR(kind):
        return target
    raise FileError(str(path), "not a plain file", "name a file")


def _mode(path: Path) -> int:
    """The rights an existing file has, or what a new file gets here."""
    try:
        return stat.S_IMODE(path.stat().st_mode)
    except OSError:
        mask = os.umask(0)
        os.umask(mask)
        return 0o666 & ~mask


def reason(error: Exception) -> str:
    """Why the system refused, in small letters, to go on a sentence with."""
    text = getattr(error, "strerror", None) or str(error)
    return text[:1].lower() + text[1:]
