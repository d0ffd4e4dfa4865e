"""What was made before: samples and files kept on disk by the hash of all they were made from.

Conventions: a key is a sha256 in hexadecimal; an entry is one line of JSON (what it is, sha256 of
that and of what follows) and raw bytes, float32 for samples. Nothing is pickled. An entry is
verified when it is read; one that is damaged counts as not there and is made again. Entries are
written beside their place and renamed, so that several runs can share a store. When the store
outgrows its limit, the entries used longest ago go first. Where the disk cannot be written the work
goes on without a store, and `trouble` says so once. A little of what was used last is held in
memory too.
"""

from __future__ import annotations

import json
import os
import tempfile
import threading
from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from reedwright.files import reason
from reedwright.sound.signal import Samples
from reedwright.sound.sweep import Sweeper

SCHEMA = "reedwright.cache/1"
FOLDER_VARIABLE = "REEDWRIGHT_CACHE"
"""Environment variable that names the store's folder; `off` for none."""

LIMIT_BYTES = 4_000_000_000
"""The stems of some dozens of tunes (measured: a 45 s tune keeps 45 MB at each tempo)."""

MEMORY_BYTES = 300_000_000
"""What is held in memory: the stems of one tempo of a usual tune."""

_HEADER_LIMIT = 100_000


def default_folder() -> Path | None:
    """Where the store lies: REEDWRIGHT_CACHE, else the user's cache folder; None for no store."""
    own = os.environ.get(FOLDER_VARIABLE, "")
    if own == "off":
        return None
    if own:
        return Path(own)
    base = os.environ.get("XDG_CACHE_HOME", "")
    try:
        home = Path(base) if Path(base).is_absolute() else Path.home() / ".cache"
    except RuntimeError:  # no home
        return None
    return home / "reedwright"


def key_of(*said: object) -> str:
    """The key of something, from texts and plain values that say all it was made from."""
    return sha256(repr(said).encode("utf-8", "surrogatepass")).hexdigest()


@dataclass(frozen=True, slots=True)
class Kept:
    """A file of the store: its bytes and what is known about it."""

    data: bytes
    facts: Mapping[str, Any]


class Store:
    """Entries by key. Safe to use from several threads; two that want the same make it once."""

    def __init__(
        self,
        folder: Path | None,
        limit_bytes: int = LIMIT_BYTES,
        memory_bytes: int = MEMORY_BYTES,
    ) -> None:
        self._folder = folder
        self._memory: OrderedDict[str, Samples] = OrderedDict()
        self._room = memory_bytes
        self._sweeper = None if folder is None else Sweeper(folder, limit_bytes)
        self._lock = threading.Lock()
        self._making: dict[str, tuple[threading.Lock, int]] = {}
        self.trouble = ""

    def samples(self, key: str, make: Callable[[], NDArray[Any]], *, hold: bool = True) -> Samples:
        """The samples of a key, made only if they are not there. Not to be written into.

        `hold`: keep them in memory as well.
        """
        return self.all_samples([key], lambda: [make()], hold=hold)[0]

    def all_samples(
        self, keys: Iterable[str], make: Callable[[], Iterable[NDArray[Any]]], *, hold: bool = True
    ) -> tuple[Samples, ...]:
        """Several samples that are made together; if one is missing, all are made."""
        wanted = tuple(keys)
        with _Making(self._making, self._lock, wanted[0] if wanted else ""):
            found = [self._found(key, hold) for key in wanted]
            there = tuple(one for one in found if one is not None)
            if len(there) == len(wanted):
                return there
            made = tuple(np.ascontiguousarray(one, np.float32) for one in make())
            for key, one in zip(wanted, made, strict=True):
                header = {"shape": list(one.shape), "dtype": "<f4"}
                self._write(
                    key, header, one.astype("<f4", copy=False).reshape(-1).view(np.uint8).data
                )
                self._remember(key, _sealed(one), hold)
            return made

    def file(self, key: str) -> Kept | None:
        """A finished file, None when it is not there."""
        found = self._read(key)
        return Kept(found[1], found[0]["facts"]) if found and "facts" in found[0] else None

    def piece(self, key: str, make: Callable[[], bytes]) -> bytes:
        """Bytes that go into a file, made only if they are not there."""
        kept = self.file(key)
        if kept is not None:
            return kept.data
        data = make()
        self.keep_file(key, data, {})
        return data

    def keep_file(self, key: str, data: bytes, facts: Mapping[str, Any]) -> None:
        """Keep a finished file; `facts` are plain values."""
        self._write(key, {"facts": dict(facts)}, data)

    def _found(self, key: str, hold: bool) -> Samples | None:
        with self._lock:
            if key in self._memory:
                self._memory.move_to_end(key)
                return self._memory[key]
        found = self._read(key)
        if found is None:
            return None
        try:
            samples = np.frombuffer(found[1], "<f4").reshape(found[0]["shape"])
        except (KeyError, TypeError, ValueError):  # an entry of another kind
            return None
        samples = _sealed(np.ascontiguousarray(samples, np.float32))
        self._remember(key, samples, hold)
        return samples

    def _remember(self, key: str, samples: Samples, hold: bool) -> None:
        if not hold or samples.nbytes > self._room // 2:
            return
        with self._lock:
            self._memory[key] = samples
            while sum(one.nbytes for one in self._memory.values()) > self._room:
                self._memory.popitem(last=False)

    def _path(self, key: str) -> Path | None:
        return self._folder and self._folder / key[:2] / key

    def _read(self, key: str) -> tuple[dict[str, Any], bytes] | None:
        path = self._path(key)
        if path is None:
            return None
        try:
            with path.open("rb") as file:
                header = json.loads(file.readline(_HEADER_LIMIT))
                data = file.read()
            if header["schema"] != SCHEMA or header.pop("sha256") != _digest(header, data):
                raise ValueError
            os.utime(path)  # used now
        except (OSError, ValueError, KeyError, TypeError, RecursionError):
            return None
        return header, data

    def _write(self, key: str, header: Mapping[str, Any], data: bytes | memoryview) -> None:
        path = self._path(key)
        if path is None or self.trouble:
            return
        said = {"schema": SCHEMA, **header}
        said["sha256"] = _digest(said, data)
        name = ""
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(prefix=".new-", dir=path.parent)
            with os.fdopen(handle, "wb") as file:
                file.write(json.dumps(said).encode() + b"\n")
                file.write(data)
            Path(name).replace(path)
        except (OSError, ValueError) as error:
            if name:
                Path(name).unlink(missing_ok=True)
            self.trouble = f"nothing is kept for the next time: {path.parent}: {reason(error)}"
            return
        if self._sweeper is not None:
            self._sweeper.grown(len(data))


def _digest(header: Mapping[str, Any], data: bytes | memoryview) -> str:
    """SHA-256 of an entry: of what its header says, and of its data."""
    made = sha256(json.dumps(header, sort_keys=True).encode())
    made.update(data)
    return made.hexdigest()


class _Making:
    """Holds others off the same key while it is being made."""

    def __init__(
        self, making: dict[str, tuple[threading.Lock, int]], lock: threading.Lock, key: str
    ) -> None:
        self._making, self._lock, self._key = making, lock, key

    def __enter__(self) -> None:
        with self._lock:
            own, waiting = self._making.get(self._key, (threading.Lock(), 0))
            self._making[self._key] = (own, waiting + 1)
        own.acquire()

    def __exit__(self, *_: object) -> None:
        with self._lock:
            own, waiting = self._making.pop(self._key)
            if waiting > 1:
                self._making[self._key] = (own, waiting - 1)
        own.release()


def _sealed(samples: Samples) -> Samples:
    """Samples that many share, so nobody may write into them."""
    samples.setflags(write=False)
    return samples
