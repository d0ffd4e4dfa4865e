"""Soak: the desk's server killed at random moments while somebody types."""

from __future__ import annotations

import random
import tempfile
from pathlib import Path


def soak_desk_killed(rng: random.Random) -> None:
    """Ten kills of one desk; twenty rounds are the two hundred that are asked of it."""
    from tests.desk.killing import killed_once, shelf_in
    from tests.desk.served import server

    with tempfile.TemporaryDirectory() as folder, server(shelf_in(Path(folder) / "s")) as desk:
        for _ in range(10):
            killed_once(desk, "typed", rng)


def soak_desk_texts_joined(rng: random.Random) -> None:
    """Two random edits of one text: joined, every line of both is there in its order."""
    from reedwright.desk.merge import merged

    base = [f"{number}" for number in range(rng.randrange(1, 40))]
    texts = [_edited(base, f"{side}", rng) for side in "ab"]
    joined = merged(*("\n".join(lines) for lines in (base, *texts)))
    if joined is None:
        return
    lines = joined.split("\n")
    for text in texts:
        own = [line for line in text if line[:1] in "ab"]
        assert [line for line in lines if line in own] == own


def _edited(base: list[str], side: str, rng: random.Random) -> list[str]:
    lines = list(base)
    for number in range(rng.randrange(4)):
        at = rng.randrange(len(lines) + 1)
        lines[at : at + rng.randrange(3)] = [f"{side}{number}"] * rng.randrange(1, 2)
    return lines
