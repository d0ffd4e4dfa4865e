"""The files a teacher names for the recordings: what never ends is refused and not read."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from reedwright.errors import FileError
from reedwright.pack.choices import Audio


@pytest.mark.parametrize("field", ["amp", "soundfont"])
def test_a_pipe_is_refused_at_once(tmp_path: Path, field: str) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(FileError, match=r"pipe: not a plain file\. Mend: name a file\.$"):
        Audio(**{field: pipe}).as_json()  # type: ignore[arg-type]
