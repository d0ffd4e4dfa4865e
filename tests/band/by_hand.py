"""Arrangements written by hand, for tests of what plays them: no rule of the arranger is here."""

from fractions import Fraction

from reedwright.band.values import Arrangement, BandBar, BandNote, Keys, Part
from reedwright.performance.perform import perform
from reedwright.performance.values import Performance
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune

HALF = Fraction(1, 2)
ROOTS = (40, 45, 40, 40, 45, 45, 40, 40, 47, 45, 40, 47)


def score(feel: str = "shuffle", tempo: int = 104, choruses: int = 1) -> Score:
    """Twelve bars of no melody to speak of."""
    times = f", {choruses} times" if choruses > 1 else ""
    text = f"""\
Title: Behind the band
Harp: A
Position: 2
Feel: {feel}
Tempo: {tempo}
Form: 12-bar quick change

Lick Call
1: 3d 4d 5d 4d

Chorus{times}
1 Call
"""
    return place(read_tune(text))


def played(made: Score) -> Performance:
    return perform(made, made.tune.full_tempo_bpm)


def arrangement(
    made: Score,
    notes: dict[Part, list[BandNote]],
    *,
    bars: int = 12,
    keys: Keys = Keys.ORGAN,
    style: str = "",
    seed: int = 0,
) -> Arrangement:
    beats = made.tune.meter.beats
    return Arrangement(
        made,
        style,
        seed,
        keys,
        tuple(BandBar(bar // 12 + 1, bar % 12 + 1, bar * beats) for bar in range(bars)),
        {part: tuple(sorted(notes.get(part, []), key=lambda note: note.start)) for part in Part},
    )


def note(
    part: Part, start: Fraction | int, midi: int, length: Fraction | int = 1, velocity: float = 0.7
) -> BandNote:
    """A note in four-beat bars; halves of a beat swing."""
    at, end = Fraction(start), Fraction(start) + Fraction(length)
    bar = int(at // 4)
    split, end_split = (2 if moment.denominator == 2 else 1 for moment in (at, end))
    place = (bar // 12 + 1, bar % 12 + 1)
    return BandNote(part, at, Fraction(length), midi, velocity, *place, split, end_split)


def shuffle(made: Score, bars: int = 12, keys: Keys = Keys.ORGAN, style: str = "") -> Arrangement:
    """Ride, kick and snare; a bass that walks up the chord; guitar off the beat; held keys."""
    notes: dict[Part, list[BandNote]] = {part: [] for part in Part}
    for bar in range(bars):
        _bar(notes, bar * 4, ROOTS[bar % 12])
    return arrangement(made, notes, bars=bars, keys=keys, style=style)


def _bar(notes: dict[Part, list[BandNote]], first: int, root: int) -> None:
    def add(part: Part, *rows: tuple[Fraction | int, int, Fraction | int, float]) -> None:
        notes[part] += [
            note(part, first + at, midi, length, velocity) for at, midi, length, velocity in rows
        ]

    for beat in range(4):
        walk = root + (0, 4, 7, 9)[beat]
        walk -= 12 if walk > 52 else 0
        backbeat = (beat, 38, 1, 0.75) if beat % 2 else (beat, 36, 1, 0.7)
        add(Part.DRUMS, backbeat, (beat, 51, 1, 0.6), (beat + HALF, 51, HALF, 0.4))
        add(Part.BASS, (beat, walk, 1, 0.7), (beat + HALF, walk, HALF, 0.5))
        add(Part.GUITAR, *((beat + HALF, root + up, HALF, 0.55) for up in (16, 22, 26)))
    add(Part.KEYS, *((0, root + up, 3, 0.6) for up in (16, 22, 31)))
