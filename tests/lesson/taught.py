"""Tunes to speak about: the demo tunes, and small ones written here."""

from functools import cache
from pathlib import Path

from reedwright.lesson.study import Study, study
from reedwright.tune.load import load_tune
from reedwright.tune.place import place
from reedwright.tune.read import read_tune

DEMO = Path(__file__).resolve().parents[2] / "demo"
DEMOS = sorted(path.name for path in DEMO.glob("*.reed"))


@cache
def demo(name: str) -> Study:
    """A demo tune taken apart."""
    return study(place(load_tune(DEMO / name)))


def taught(text: str, *, level: str | None = None) -> Study:
    """A tune written in a test, taken apart."""
    return study(place(read_tune(text)), level=level)


def many_licks(count: int, *, alike: bool = False) -> Study:
    """A tune of many short licks, all different or all the same."""
    head = "Title: Many\nHarp: C\nPosition: 2\nForm: 12-bar\nStudent: beginner\n\n"
    licks = (
        f"Lick L{n}\n1: 2d {1 + n % 9}d&{1 + n // 9 % 9}d {1 + n // 81 % 9}d 5d\n"
        if not alike
        else f"Lick L{n}\n1: 2d 3d 4d 5d\n"
        for n in range(count)
    )
    return taught(head + "\n".join(licks))
