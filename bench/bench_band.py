"""The band: arranging, and its MIDI, for 12 bars × 4 choruses, and ten times as many.

The gates are ours: arranging is a small part of a pack, and linear in bars (a factor of 1.5 is left
for caches and the collector). Most of the MIDI's time is mido's, two messages a note.
"""

from functools import partial

from bench.bench_performance import TUNE
from bench.row import Gate, Row, median_ms
from reedwright.band.arrange import arrange
from reedwright.band.midi import band_midi
from reedwright.performance.perform import perform
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune

CHORUSES = 4
MORE = 10


def _score(choruses: int) -> Score:
    return place(read_tune(TUNE.format(times=f", {choruses} times")))


def run() -> list[Row]:
    """Times, and the growth from 48 bars to 480."""
    short, long = _score(CHORUSES), _score(CHORUSES * MORE)
    performance = perform(short, short.tune.full_tempo_bpm)
    one_ms = median_ms(partial(arrange, short))
    many_ms = median_ms(partial(arrange, long), rounds=5, warm_up=1)
    midi_ms = median_ms(partial(band_midi, arrange(short), performance), rounds=5)
    grown = f"arranging {CHORUSES * MORE} choruses"
    return [
        Row(f"arranging {CHORUSES} choruses of 12 bars", one_ms, Gate.AT_MOST, 20.0),
        Row(grown, many_ms, Gate.RATIO_AT_MOST, 1.5 * MORE, one_ms, f"{CHORUSES} choruses"),
        Row(f"band MIDI of {CHORUSES} choruses", midi_ms, Gate.AT_MOST, 150.0),
    ]
