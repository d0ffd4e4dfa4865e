"""Speed of the check, whole: read the text, place it, check it.

Gates: a tune of twelve bars, dense with notes and chord rhythm, in at most 5 ms warm in process;
and a tune of 10,000 bars in time linear in bars: a bar of it takes at most twice what a bar of
1,000 takes in the same run. Every stage alike was measured at 1.2 to 1.4 times, which is what a
bigger heap costs the processor's caches; a quadratic stage would show as 10.
"""

from bench.row import Gate, Row, median_ms
from reedwright.check.check import check
from reedwright.tune.place import place
from reedwright.tune.read import read_tune
from tests.check.shuffle import SHUFFLE

_LICKS, _CHORUS = SHUFFLE[: SHUFFLE.index("\nChorus")], SHUFFLE[SHUFFLE.index("\nChorus") :]


def played(choruses: int) -> str:
    """The tune played so many times, twelve bars each, with every chorus written out."""
    return _LICKS + _CHORUS * choruses


def long_tune(bars: int) -> str:
    """One lick of so many written bars, in which every bar differs from the one before."""
    cells = ("2d&3d' 3d&4d 5d&4d 3d&2d", "4b = 3d'&2b 2d", "1+2d&1+2b 1+2d . .")
    head = SHUFFLE[: SHUFFLE.index("Lick Call")]
    written = (f"{number}: {cells[number % 3]}" for number in range(1, bars + 1))
    return head + "Lick Long\n" + "\n".join(written) + "\n"


def whole(text: str) -> int:
    """Read, place and check; the number of findings, so that nothing is left undone."""
    return len(check(place(read_tune(text))).findings)


def run() -> list[Row]:
    twelve = played(1)
    short, long = long_tune(1_000), long_tune(10_000)
    short_ms = median_ms(lambda: whole(short), rounds=5, warm_up=1)
    long_ms = median_ms(lambda: whole(long), rounds=3, warm_up=0)
    return [
        Row("read, place, check: 12 bars", median_ms(lambda: whole(twelve)), Gate.AT_MOST, 5.0),
        Row(
            "read, place, check: a bar of 10,000",
            long_ms / 10_000,
            Gate.RATIO_AT_MOST,
            2.0,
            baseline=short_ms / 1_000,
            baseline_what="a bar of 1,000",
        ),
    ]
