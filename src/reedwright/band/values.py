"""What the band plays: notes of four parts where they fall, exact and unswung.

Conventions: `start` and `length` in counted beats, `start` from the first beat of bar 1 of the
first chorus, as in the tune's events; the band plays nothing before bar 1. `chorus` and `bar` as
people count; the ending's bars go on counting in the last chorus. Drums are General MIDI
percussion keys, everything else MIDI notes. `velocity` lies above 0 and is at most 1. Swing and
human timing are no part of a note: see `timing`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from reedwright.errors import Problem, SettingError
from reedwright.tune.chords import Chord
from reedwright.tune.place import Score


class Part(StrEnum):
    """The parts of the band, in the order they are written."""

    DRUMS = "drums"
    BASS = "bass"
    GUITAR = "guitar"
    KEYS = "keys"


class Keys(StrEnum):
    """What the keyboard player plays."""

    ORGAN = "organ"
    PIANO = "piano"


@dataclass(frozen=True, slots=True)
class BandNote:
    """One note, or one stroke of the drums.

    `split` and `end_split`: into how many parts the beats are split in which it starts and ends,
    which says whether they swing (see `performance.swing`). `fill`: part of a drum fill.
    """

    part: Part
    start: Fraction
    length: Fraction
    midi: int
    velocity: float
    chorus: int
    bar: int
    split: int = 1
    end_split: int = 1
    fill: bool = False

    def __post_init__(self) -> None:
        loud = 0 < self.velocity <= 1  # NaN is not
        fine = loud and 0 <= self.midi <= 127 and self.length.numerator > 0
        if not fine or self.split < 1 or self.end_split < 1:
            raise ValueError(f"no note of the band: {self}")

    @property
    def end(self) -> Fraction:
        return self.start + self.length


@dataclass(frozen=True, slots=True)
class Break:
    """The band strikes the first beat of a bar and is silent for the rest of `bars` bars.

    `chorus` 0: in every chorus. Errors: SettingError.
    """

    bar: int
    chorus: int = 0
    bars: int = 1

    def __post_init__(self) -> None:
        if self.chorus < 0 or self.bar < 1 or self.bars < 1:
            raise SettingError(
                Problem(
                    found=f"a break of {self.bars} bars in bar {self.bar}, chorus {self.chorus}",
                    rule="Bars count from 1, choruses from 1 (0: every chorus), "
                    "and a break has at least one bar",
                    mend="write where it begins, like bar 9 of chorus 2",
                )
            )


@dataclass(frozen=True, slots=True)
class Options:
    """What a teacher asks of the band.

    `style`: a style's name; when empty, the one the tune names or the first that fits it. `alike`:
    every chorus the same. `ending`: bars after the last chorus; without it the band stops with the
    form. `stop`: chorus and bar on whose first beat the band ends, whatever comes after it.
    """

    style: str = ""
    alike: bool = False
    ending: bool = True
    breaks: tuple[Break, ...] = ()
    stop: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class BandBar:
    """A bar the band plays; `start` in counted beats.

    `chords`: where each begins inside the bar, from 0; empty where the tune has no form. `ending`:
    past the last chorus of the form. `fill`: the rules allow a drum fill in it. `turn`: it leads
    into a new chorus or to the end. `last`: the final chord is struck on its first beat.
    """

    chorus: int
    bar: int
    start: int
    chords: tuple[tuple[Fraction, Chord], ...] = ()
    ending: bool = False
    fill: bool = False
    turn: bool = False
    last: bool = False


@dataclass(frozen=True, slots=True)
class Arrangement:
    """All that the band plays under a score. Notes of each part are in order of time.

    `bars` holds every bar, those of the ending too: the band may end after the score does, and
    after a `stop` before it. `style` is the name in the rules.
    """

    score: Score
    style: str
    seed: int
    keys: Keys
    bars: tuple[BandBar, ...]
    notes: Mapping[Part, tuple[BandNote, ...]]

    @property
    def length_beats(self) -> int:
        """Counted beats from bar 1 to the end of the band's last bar."""
        return len(self.bars) * self.score.tune.meter.beats
