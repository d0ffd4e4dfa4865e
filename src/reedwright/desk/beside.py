"""Files a tune names beside itself: a tuning, a temperament. Links are not followed, since one may
lead out of the shelf."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from reedwright.errors import Problem, TuneError
from reedwright.harp.pitch import shown
from reedwright.tune.load import beside


def neighbour(folder: Path) -> Callable[[str], str]:
    """Reads a file of the folder by its bare name. Errors: TuneError."""

    def read(name: str) -> str:
        if (folder / name).is_symlink():
            found = f"{shown(name)} is a link"
            rule = "The desk opens plain files in its own folder only"
            raise TuneError(Problem(found, rule, "put a copy of the file there"))
        return beside(folder / "tune.reed", name)

    return read
