"""Speed of the harp's voice against the time its sound lasts, on one thread.

A line of single notes with bends goes through the chamber model, chords and shakes through the
wavetable. Nothing is taken from a store; the loops are compiled before.
"""

from fractions import Fraction

from bench.row import Gate, Row, median_ms
from reedwright.performance.perform import perform
from reedwright.performance.play import play
from reedwright.performance.playing import Played
from reedwright.tune.place import place
from reedwright.tune.read import read_tune
from reedwright.voice.prepare import prepare
from reedwright.voice.render import sound_of
from reedwright.voice.segments import segments
from reedwright.voice.stem import voice_stem

_HEAD = "Title: Bench\nHarp: A\nPosition: 2\nFeel: shuffle\nTempo: 96\n\n"
_SINGLE = "Lick A (loud)\n1: 2d 3d'&3d 4d =&4b\n2: 4d'&4d 5d&4d 3d''&2d =\n\n"
_CHORDS = "Lick A (loud)\n1: 1+2d&1+2b 2+3d 1+4b =\n2: 4x5d = 3+4d 1+2+3d\n\n"
_SINGLE_TIMES, _CHORD_TIMES = 80.0, 80.0  # of real time, at least
_WAVETABLE_TIMES = 1_000.0  # one reed of a chord, before body and breath


def played(lick: str) -> Played:
    """The lick for twelve bars."""
    tune = read_tune(f"{_HEAD}{lick}Chorus\n1 A, 6 times\n", "bench.reed")
    return play(perform(place(tune), Fraction(96)))


def run() -> list[Row]:
    """A line, chords, and the wavetable by itself."""
    prepare()
    line, chords = played(_SINGLE), played(_CHORDS)
    if not all(segment.lines[0].modelled for segment in segments(line)):
        raise AssertionError("the chamber model should play every note of the line")
    chord = max(segments(chords), key=lambda segment: segment.samples)
    reed = chord.lines[0]
    return [
        _row("voice, 12 bars of single notes", line, _SINGLE_TIMES),
        _row("voice, 12 bars of chords and shakes", chords, _CHORD_TIMES),
        Row(
            "voice, one reed by wavetable",
            median_ms(lambda: sound_of(reed, chord)),
            Gate.FASTER_AT_LEAST,
            _WAVETABLE_TIMES,
            baseline=chord.samples / 48,
            baseline_what="real time",
        ),
    ]


def _row(what: str, music: Played, times: float) -> Row:
    return Row(
        what,
        median_ms(lambda: voice_stem(music), rounds=7, warm_up=1),
        Gate.FASTER_AT_LEAST,
        times,
        baseline=music.performance.length_s * 1000,
        baseline_what="real time",
    )
