"""A sheet too long to be printed is refused before it is begun; one just short enough is not."""

from __future__ import annotations

from pathlib import Path

import pytest

from reedwright.errors import SheetError
from reedwright.pack.choices import Choices
from reedwright.pack.pack import pack
from reedwright.sheet.limits import MAX_BARS, MAX_SOUNDS, refuse_endless
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune

HEAD = "Title: Long\nHarp: C\nPosition: 2\n\nLick A\n"
FULL = "&".join(["4d"] * 6)


def score(text: str) -> Score:
    return place(read_tune(text, "t.reed"))


def test_as_many_bars_as_allowed_and_one_more() -> None:
    bars = [f"{number}: 4d = = =\n" for number in range(1, MAX_BARS + 2)]
    refuse_endless(score(HEAD + "".join(bars[:-1])))
    with pytest.raises(SheetError, match=f"{MAX_BARS + 1} bars and .* Mend: "):
        refuse_endless(score(HEAD + "".join(bars)))


def test_as_many_sounds_as_allowed_and_more() -> None:
    whole = MAX_SOUNDS // 24
    bars = "".join(f"{number}: {FULL} {FULL} {FULL} {FULL}\n" for number in range(1, whole + 2))
    with pytest.raises(SheetError, match="sounds are too many to print"):
        refuse_endless(score(HEAD + bars))
    refuse_endless(score(HEAD + bars.rpartition(f"{whole + 1}:")[0]))


def test_no_pack_is_begun(tmp_path: Path) -> None:
    tune = tmp_path / "t.reed"
    tune.write_text(HEAD + "1: 4d = = 4b\n\nChorus, 999 times\n1 A\n")
    with pytest.raises(SheetError, match="999 bars"):
        pack(tune, tmp_path / "out", Choices())
    assert [path.name for path in tmp_path.iterdir()] == ["t.reed"]
