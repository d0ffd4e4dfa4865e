"""The lesson room: a 12-bar tune taken apart, 300 licks compared, and how time grows with length.

Gates: 6 ms of the 20 ms that script, plan and captions of a 12-bar tune may take; 2 s for what
repeats what among 300 licks; ten times the bars in at most 15 times the time (10 is linear; 1.5
leaves room for caches and the collector). All are our own.
"""

from pathlib import Path

from bench.row import Gate, Row, median_ms
from reedwright.lesson.lines import lick_lines
from reedwright.lesson.repeats import repeats, units_of
from reedwright.lesson.study import study
from reedwright.tune.load import load_tune
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune

_TUNE = Path(__file__).resolve().parent.parent / "demo" / "the-ferry-was-late.reed"
_HEAD = "Title: Bench\nHarp: C\nPosition: 2\nTempo: 60, 80, 104\nStudent: beginner\n\n"
_TWELVE_MS, _THREE_HUNDRED_MS, _LINEAR = 6.0, 2000.0, 15.0


def licks_of(count: int) -> Score:
    """Licks of two bars that share their ends, their rhythm, and now and then nearly everything."""
    licks = (
        f"Lick L{n}\n1: 2d {1 + n % 9}d&{1 + n // 9 % 9}d {1 + n // 81 % 9}d 5d\n"
        f"2: 4d 3d&{1 + n % 7}d 2d .\n"
        for n in range(count)
    )
    return place(read_tune(_HEAD + "\n".join(licks)))


def one_lick(bars: int) -> Score:
    """One lick of many bars."""
    return place(
        read_tune(
            _HEAD + "Lick L\n" + "".join(f"{n}: 2d 3d'&4d = 5d\n" for n in range(1, bars + 1))
        )
    )


def run() -> list[Row]:
    """All rows of the room."""
    twelve, many = place(load_tune(_TUNE)), licks_of(300)
    units = units_of(lick_lines(many))
    return [
        Row(
            "lesson: 12 bars taken apart, warm",
            median_ms(lambda: study(twelve), rounds=100, warm_up=10),
            Gate.AT_MOST,
            _TWELVE_MS,
        ),
        Row(
            "lesson: what repeats what among 300 licks",
            median_ms(lambda: repeats(units, many.tune.harp, 4), rounds=5, warm_up=1),
            Gate.AT_MOST,
            _THREE_HUNDRED_MS,
        ),
        _growth("one lick", one_lick(1_000), one_lick(10_000)),
        _growth("licks of two bars", licks_of(500), licks_of(5_000)),
    ]


def _growth(what: str, short: Score, long: Score) -> Row:
    return Row(
        f"lesson: 10,000 bars, {what}",
        median_ms(lambda: study(long), rounds=3, warm_up=1),
        Gate.RATIO_AT_MOST,
        _LINEAR,
        baseline=median_ms(lambda: study(short), rounds=5, warm_up=1),
        baseline_what="1,000 bars",
    )
