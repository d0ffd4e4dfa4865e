"""Performance, playing and MIDI: a 12-bar tune of one chorus, and tunes a hundred times as long.

The gates are ours: perform is a small part of a check (5 ms) and of a sheet (60 ms), playing a
small part of a second of sound, and all are linear in bars (a factor of 1.5 is left for caches and
the collector).
"""

from functools import partial

from bench.row import Gate, Row, median_ms
from reedwright.performance.perform import perform
from reedwright.performance.play import play
from reedwright.sheet.midi import midi_bytes
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune

TUNE = """\
Title: Twelve bars to measure
Harp: A
Position: 2
Feel: shuffle
Tempo: 104
Form: 12-bar quick change

Lick Call (cup closed, loud)
0: . . . .&2d
1: 3d'&3d 4d&=&5d /4dv =&3d'
2: 2d''&2d . 1d'&1d 2d

Lick Train
1: 1+2d&1+2d 1+2d&1+2d 1+2b&1+2b 1+2b&.
2: 2+3d&2+3d 4x5d = 4d\\

Chorus{times}
1 Call, from bar 1
3 Train, 2 times
7 Call
9 Train
11 Call
"""
CHORUSES = 100


def _score(choruses: int) -> Score:
    return place(read_tune(TUNE.format(times=f", {choruses} times" if choruses > 1 else "")))


def run() -> list[Row]:
    """Times, and the growth from 12 bars to 1200."""
    short, long = _score(1), _score(CHORUSES)
    rows: list[Row] = []
    for what, one, many, limit_ms in (
        (
            "performance",
            partial(perform, short, short.tune.full_tempo_bpm),
            partial(perform, long, long.tune.full_tempo_bpm),
            2.0,
        ),
        (
            "playing",
            partial(play, perform(short, short.tune.full_tempo_bpm)),
            partial(play, perform(long, long.tune.full_tempo_bpm)),
            5.0,
        ),
        ("MIDI", partial(midi_bytes, short), partial(midi_bytes, long), 30.0),
    ):
        one_ms, many_ms = median_ms(one), median_ms(many, rounds=5, warm_up=1)
        name = f"{what} of a 12-bar tune"
        rows.append(Row(name, one_ms, Gate.AT_MOST, limit_ms))
        grown = f"{what} of {CHORUSES} choruses"
        limit = 1.5 * CHORUSES
        rows.append(Row(grown, many_ms, Gate.RATIO_AT_MOST, limit, one_ms, "one chorus"))
    return rows
