"""What a score file holds before one melody is taken from it, whatever the format was.

Conventions: moments and lengths in written quarter notes from the beginning of the first measure;
each measure is there once, in the order written. Pitches sound.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from reedwright.fit.lines import Line
from reedwright.tune.chords import Chord


@dataclass(frozen=True, slots=True)
class Music:
    """A score.

    Attributes:
        lines: its parts.
        measures: where each measure begins.
        end: where the last one ends.
        meters: moment, upper and lower number, in order; empty where none is written.
        fifths: sharps of the first key signature, flats below 0; None where none is written.
        tonic: pitch class of the key note and whether it is minor, where the file says so.
        tempo_qpm: quarters a minute, where the file says so.
        swing: long:short of two eighths, where the file says so; lengths are written unswung.
        chords: moment and chord, in order; None for no chord.
        repeats: whether there are repeats or endings.
        remarks: what else a teacher should know, whole sentences.
    """

    lines: tuple[Line, ...]
    title: str = ""
    measures: tuple[Fraction, ...] = ()
    end: Fraction = Fraction(0)
    meters: tuple[tuple[Fraction, int, int], ...] = ()
    fifths: int | None = None
    tonic: tuple[int, bool] | None = None
    tempo_qpm: Fraction | None = None
    swing: Fraction | None = None
    chords: tuple[tuple[Fraction, Chord | None], ...] = ()
    repeats: bool = False
    remarks: tuple[str, ...] = ()
