"""Small tunes for the breath room: written out, and at random."""

import random
from fractions import Fraction

from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune

_SOUNDS = ("2d", "3d'", "1+2d", "2+3+4d", "4b", "1+2+3b", "5b", "6bo", "4x5d", "=", ".", ".")
_LOUD = ("soft", "medium", "loud", "very loud")


def score_of(licks: str, chorus: str = "", head: str = "", tempo: str = "60") -> Score:
    """A tune in 4/4, straight unless the head says otherwise, on a Richter harp in A."""
    order = f"\nChorus\n{chorus}\n" if chorus else ""
    text = f"Title: Test\nHarp: A\nPosition: 2\nTempo: {tempo}\n{head}\n{licks}\n{order}"
    return place(read_tune(text, "test.reed"))


def bars(cells: str, count: int) -> str:
    """Bars 1 to `count` of the same cells."""
    return "".join(f"{number}: {cells}\n" for number in range(1, count + 1))


def random_score(seed: int) -> Score:
    """Some licks in two choruses, swung or straight, with turns, rests, chords and no mercy."""
    source = random.Random(seed)
    licks = "\n".join(
        f"Lick {name} ({source.choice(_LOUD)})\n"
        + "".join(f"{bar}: {_bar(source)}\n" for bar in (1, 2))
        for name in "ABC"
    )
    order = "\n\nChorus\n".join(
        "\n".join(f"{bar} {source.choice('ABC')}" for bar in (1, 3, 5, 7)) for _ in range(2)
    )
    feel = source.choice(("straight", "shuffle", "swing by tempo"))
    tempo = source.choice(("40, 90", "60, 80, 104", "120, 180"))
    return score_of(licks, order, f"Feel: {feel}", tempo)


def _bar(source: random.Random) -> str:
    sounding, cells = False, []
    for _ in range(4):
        parts = source.choices(_SOUNDS, k=source.choice((1, 1, 2, 3)))
        for index, part in enumerate(parts):
            if part == "=" and not sounding:  # nothing to hold
                parts[index] = "2d"
            sounding = part != "."
        cells.append("&".join(parts))
    return " ".join(cells)


def slowest(score: Score) -> Fraction:
    return score.tune.tempos_bpm[0]
