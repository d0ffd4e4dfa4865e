"""Which packs this user's desk has made itself. A student's page brings scripts along; one that
came with a folder from elsewhere must not act as a page of the desk.

A pack that was made here is sealed: an HMAC (RFC 2104, SHA-256) of its manifest, kept beside the
journals, under a key that lies in the user's own cache folder, where no folder of tunes reaches.
Without such a folder the key lasts as long as the desk.
"""

from __future__ import annotations

import hmac
import os
import secrets
from contextlib import suppress
from pathlib import Path

from reedwright.errors import FileError
from reedwright.files import read_bytes, write_whole
from reedwright.pack.manifest import NAME

_KEY = "desk.key"
_BYTES = 32
_MOST = 32_000_000
ENDING = ".sealed"


def key_folder() -> Path | None:
    """The user's own folder for what reedwright keeps; None where there is none. The sound room's
    store lies there too, but that room is not loaded for this."""
    own = os.environ.get("REEDWRIGHT_CACHE", "")
    if own:
        return None if own == "off" else Path(own)
    base = os.environ.get("XDG_CACHE_HOME", "")
    try:
        home = Path(base) if Path(base).is_absolute() else Path.home() / ".cache"
    except RuntimeError:  # no home
        return None
    return home / "reedwright"


class Seals:
    """The seals of one shelf. `keys`: the user's folder, None for none; `own`: the desk's own
    folder in the shelf."""

    def __init__(self, keys: Path | None, own: Path) -> None:
        self._key = _key(keys)
        self._own = own

    def seal(self, name: str, folder: Path) -> None:
        """Say that a pack was made here. A disk that refuses leaves it unsealed, and no more."""
        with suppress(FileError):
            write_whole(self._own / f"{name}{ENDING}", self._sum(folder).encode())

    def fits(self, name: str, folder: Path) -> bool:
        """Whether a pack is as it was made here."""
        try:
            sealed = read_bytes(self._own / f"{name}{ENDING}", 1_000)
            return hmac.compare_digest(sealed, self._sum(folder).encode())
        except FileError:
            return False

    def _sum(self, folder: Path) -> str:
        return hmac.new(self._key, read_bytes(folder / NAME, _MOST), "sha256").hexdigest()


def _key(folder: Path | None) -> bytes:
    """The user's key; a new one where there is none."""
    new = secrets.token_bytes(_BYTES)
    if folder is None:
        return new
    path = folder / _KEY
    with suppress(FileError):
        found = read_bytes(path, 1_000)
        if len(found) == _BYTES:
            return found
    with suppress(OSError):  # FileError is one, too
        folder.mkdir(parents=True, exist_ok=True)
        write_whole(path, new)
        path.chmod(0o600)
    return new
