"""The tune room: a 12-bar tune read and placed, and how time grows with the length of a tune.

The gates are our own: 2 ms of the 5 ms that a whole check may take; and twice the bars in at most
1.5 times the time per bar (1 is linear, 2 would be quadratic), so that a busy machine still passes.
The rows per bar are measured without the garbage collector, whose sweeps grow with whatever else is
alive in the process; all others with it.
"""

import gc
from collections.abc import Callable, Iterator

from bench.row import Gate, Row, median_ms
from reedwright.tune.place import place
from reedwright.tune.read import read_text, read_tune
from reedwright.tune.write import write_tune

TWELVE_BARS_MS = 2.0
PER_BAR_RATIO = 1.5
TEN_THOUSAND_MS = 2000.0

_HEAD = "Title: Bench\nHarp: A\nPosition: 2\nFeel: shuffle\nTempo: 60, 80, 104\n"
_FORM = "Form: 12-bar quick change\n"
TWELVE = f"""{_HEAD}{_FORM}Student: steady

Lick Call (cup closed, loud)
0: . . .&2d 3d'&3d
1: /4dv = 3d'&2d .
2: 1+2d&1+2d . {{cup open, soft}} 4x5d@3 (4d)

Lick Train
1: 1+2d&1+2d 1+2b&1+2b 1+2d&1+2d 1+2b&1+2b
2: 1+2d&1+2d 1+2b&1+2b 1+2d&1+2d .

Lick Answer
0: . . . .&4d
1: 4d&=&3d 2d 2d''&2d 1d
2: 2d = = .

Lick Climb
1: 3d 4d 4d&5d 6d
2: 6b 5d&4d 3d'&2d .

Lick Turn
1: 2d&3d 4d&5d 6b 4d
2: 4d' 4d 2d .

Chorus
1 Call
3 Train
5 Answer
7 Train
9 Climb
11 Turn
"""
_BAR = "4d 3d&2d 1+2d&=&. 2d''"


def one_lick(bars: int) -> str:
    """A tune of one long lick."""
    return f"{_HEAD}\nLick L\n" + "".join(f"{n}: {_BAR}\n" for n in range(1, bars + 1))


def many_choruses(bars: int) -> str:
    """A tune of twelve written bars in many choruses."""
    lick = "\nLick L\n" + "".join(f"{n}: {_BAR}\n" for n in range(1, 13))
    return _HEAD + _FORM + lick + "\nChorus\n1 L\n" * (bars // 12)


def many_licks(bars: int) -> str:
    """A tune of as many licks as bars."""
    return f"{_HEAD}\n" + "".join(f"Lick L{n}\n1: {_BAR}\n" for n in range(bars))


def long_chain(bars: int) -> str:
    """Licks that each borrow their one bar from the next."""
    borrowing = "".join(f"Lick L{n}\n1: as L{n + 1}\n" for n in range(bars - 1))
    return f"{_HEAD}\n{borrowing}Lick L{bars - 1}\n1: {_BAR}\n"


def run() -> list[Row]:
    """All rows of the room."""
    return [
        Row(
            "tune: 12 bars read and placed, warm",
            median_ms(lambda: place(read_tune(TWELVE)), rounds=200, warm_up=20),
            Gate.AT_MOST,
            TWELVE_BARS_MS,
        ),
        *_growth(one_lick),
        *_growth(many_choruses),
        *_growth(many_licks),
        *_growth(long_chain),
        _roundtrip(),
    ]


def _growth(tune: Callable[[int], str]) -> Iterator[Row]:
    """Time for 10,000 bars, and time per bar against half and a quarter as many."""
    what = (tune.__doc__ or "").partition(".")[0].lower()
    yield Row(
        f"tune: 10,000 bars, {what}",
        _read_and_place_ms(tune(10_000)),
        Gate.AT_MOST,
        TEN_THOUSAND_MS,
    )
    gc.disable()
    times = {bars: _read_and_place_ms(tune(bars)) for bars in (2_500, 5_000, 10_000)}
    gc.enable()
    for bars in (5_000, 10_000):
        yield Row(
            f"tune: a bar of {bars:,}, {what}",
            times[bars] / bars,
            Gate.RATIO_AT_MOST,
            PER_BAR_RATIO,
            times[bars // 2] / (bars // 2),
            f"a bar of {bars // 2:,}",
        )


def _read_and_place_ms(text: str) -> float:
    return median_ms(lambda: place(read_tune(text)), rounds=5, warm_up=1)


def _roundtrip() -> Row:
    """The formatter on 10,000 bars, against reading them alone."""
    text = one_lick(10_000)

    def tidy() -> str:
        written, signed = read_text(text)
        return write_tune(written, signed)

    read_ms = median_ms(lambda: read_text(text), rounds=5, warm_up=1)
    return Row(
        "tune: 10,000 bars read and written",
        median_ms(tidy, rounds=5, warm_up=1),
        Gate.RATIO_AT_MOST,
        2.0,
        read_ms,
        "read only",
    )
