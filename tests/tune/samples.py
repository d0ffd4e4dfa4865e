"""Small tunes for the tests of this room."""

from fractions import Fraction

from reedwright.errors import TuneError
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune
from reedwright.tune.tune import Tune

HEAD = "Title: T\nHarp: A\nPosition: 2\n"


def tune_of(body: str, header: str = "") -> Tune:
    """A tune on an A harp in second position."""
    return read_tune(f"{HEAD}{header}\n{body}\n")


def score_of(body: str, header: str = "") -> Score:
    return place(tune_of(body, header))


def problems_of(body: str, header: str = "") -> list[str]:
    """What was found wrong, without rules and mends."""
    try:
        tune_of(body, header)
    except TuneError as error:
        return [problem.found for problem in error.problems]
    return []


def heard(score: Score) -> list[tuple[str, Fraction | int, Fraction | int]]:
    """Tab, start and length of every event."""
    tabs = [("+".join(str(note) for note in event.sound.reeds), event) for event in score.events]
    return [(tab, event.start, event.length) for tab, event in tabs]
