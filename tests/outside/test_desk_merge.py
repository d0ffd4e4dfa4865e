"""The desk's joining of two texts against git's (`git merge-file`, xdiff): where ours joins, git
joins to the same text. Ours is more careful: lines side by side are a conflict to it always."""

import random
import shutil
import subprocess
from pathlib import Path

import pytest

from reedwright.desk.merge import merged

pytestmark = pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed")


def _edited(text: list[str], chance: random.Random) -> list[str]:
    lines = list(text)
    for _ in range(chance.randrange(1, 3)):
        at = chance.randrange(len(lines))
        lines[at : at + chance.randrange(3)] = [f"new {chance.random():.6f}"] * chance.randrange(3)
        lines = lines or ["x"]
    return lines


def test_what_is_joined_git_joins_alike(tmp_path: Path) -> None:
    chance = random.Random(7)
    joined = 0
    for _ in range(120):
        base = [f"line {number}" for number in range(chance.randrange(4, 25))]
        mine, theirs = _edited(base, chance), _edited(base, chance)
        ours = merged(*("\n".join(text) + "\n" for text in (base, mine, theirs)))
        if ours is None:
            continue
        joined += 1
        paths = [tmp_path / name for name in ("mine", "base", "theirs")]
        for path, text in zip(paths, (mine, base, theirs), strict=True):
            path.write_text("\n".join(text) + "\n", encoding="utf-8")
        done = subprocess.run(
            ["git", "merge-file", "-p", *map(str, paths)], capture_output=True, check=False
        )
        assert done.returncode == 0
        assert done.stdout.decode() == ours
    assert joined > 30
