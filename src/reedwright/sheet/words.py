"""The words of a printed sheet, from `data/words.toml`: one file to edit for all of them."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files


@cache
def words() -> dict[str, dict[str, str]]:
    """Texts by section and name."""
    text = files("reedwright.sheet").joinpath("data/words.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)
