"""Tune files on disk. The only module of this room that opens files.

Reading: at most MAX_BYTES, UTF-8 (with or without a mark at its start). Writing: to a new file
beside the old one, then renamed over it, so that a file is never half-written.
"""

from __future__ import annotations

from pathlib import Path

from reedwright.errors import FileError, Place, Problem, TuneError
from reedwright.files import read_bytes
from reedwright.harp.pitch import shown
from reedwright.tune.headervalues import Judge
from reedwright.tune.read import read_tune
from reedwright.tune.tune import Tune

SUFFIX = ".reed"
MAX_BYTES = 4_000_000


def load_tune(path: Path, judge: Judge = lambda _: ()) -> Tune:
    """A tune from its file; `judge` as in `read_tune`. Errors: FileError for the file, TuneError
    for what is in it."""
    return tune_from(load_text(path), path, judge)


def tune_from(text: str, path: Path, judge: Judge = lambda _: ()) -> Tune:
    """A tune from a text already read; files it names are looked for beside `path`."""
    return read_tune(text, str(path), lambda name: beside(path, name), judge)


def load_text(path: Path) -> str:
    """The text of a tune file. Errors: FileError; TuneError for what is not UTF-8."""
    return decoded(read_bytes(path, MAX_BYTES), str(path))


def decoded(data: bytes, name: str) -> str:
    """The text in the bytes of a file called `name`. Errors: TuneError for what is not UTF-8."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        body = bytes(error.object)  # without the mark
        before = body[: error.start].decode("utf-8", "replace")
        lines = before.replace("\r\n", "\n").replace("\r", "\n").split("\n")
        raise TuneError(
            Problem(
                found=f"byte 0x{body[error.start]:02X} is not UTF-8",
                rule="A tune is plain text in UTF-8",
                mend="save the file as UTF-8 in your editor",
                place=Place(len(lines), len(lines[-1]) + 1, name),
            )
        ) from None


def beside(path: Path, name: str) -> str:
    """The text of a file in the folder of a tune, by its bare name. Errors: TuneError."""
    return decoded(bytes_beside(path, name), str(path.parent / name))


def bytes_beside(path: Path, name: str) -> bytes:
    """The bytes of a file in the folder of a tune, by its bare name. Errors: TuneError."""
    if Path(name).name != name or name in ("", ".."):
        raise TuneError(
            Problem(
                found=f"{shown(name)} is not beside the tune",
                rule="A tuning or temperament file lies in the folder of the tune",
                mend="copy it there and write its bare name",
            )
        )
    try:
        return read_bytes(path.parent / name, MAX_BYTES)
    except FileError as error:
        raise TuneError(Problem(found=f"{shown(name)}: {error.what}", mend=error.mend)) from None
