"""Tunes with every mark, and what the tests of playing ask of them."""

from fractions import Fraction

from hypothesis import strategies as st

from reedwright.harp.harp import harp_named
from reedwright.performance.note import Note
from reedwright.performance.perform import perform
from reedwright.performance.play import play
from reedwright.performance.playing import Attack, Curve, Played, Playing
from reedwright.performance.reach import Reach
from reedwright.tune.events import Event
from reedwright.tune.marks import Cup, Loudness
from reedwright.tune.tokens import parse_sound
from tests.performance.tunes import TOKENS, score_of, tune_texts

MARKED = (
    *TOKENS,
    *("4d'", "3d", "3d''", "2ds", "2dp", "1ds", "4dt", "1+4bs", "7>4d!", "1>5d\\\\", "//3d"),
    *("4dv@4", "4dw@16", "6bh@1.5", "2dvf", "/4dv\\", "1+2+3d!", "(5b)", "4x5d@16", "5d", "6b\\"),
)
marked_tunes = tune_texts(MARKED)

ALL_MARKS = """\
Title: Every Mark
Harp: C
Position: 2
Feel: shuffle
Tempo: 80

Lick A (cup closed, medium)
0: . . . .&4d
1: //3d&3d' 3d''&3d' 2dv =
2: 4dh = {cup open, loud} 4dw =
3: 4x5d = 1>5d\\ =&.
4: 2ds 2dp 4df (4d)
5: {cup moving, soft} 4d = 4d!&4d 5dv@4
6: /5d 6b\\ {very loud} 1+4d 4x5d@3
"""


def play_text(
    text: str, tempo_bpm: int | Fraction = 80, *, seed: int = 0, human: float = 1.0
) -> Played:
    return play(perform(score_of(text), Fraction(tempo_bpm)), seed, human)


def play_bars(*bars: str, tempo_bpm: int = 60, human: float = 0.0, **header: str) -> list[Playing]:
    """Bars of one lick on a C harp in first position, played without human shifts."""
    head = {"Title": "Short", "Harp": "C", "Position": "1", "Tempo": "60"} | header
    lines = [f"{key}: {value}" for key, value in head.items()] + ["", "Lick Only"]
    lines += [f"{number}: {bar}" for number, bar in enumerate(bars, 1)]
    return list(play_text("\n".join([*lines, ""]), tempo_bpm, human=human).playings)


def note_of(
    token: str,
    length_s: float = 1.0,
    *,
    attack: Attack = Attack.TONGUE,
    cup: Cup = Cup.OPEN,
    loudness: Loudness = Loudness.MEDIUM,
    **more: object,
) -> Note:
    """A note on a C harp at 60 beats a minute, one second after the first sample."""
    sound = parse_sound(token)
    low, high = Reach(harp_named("C")).limits(sound.reeds)
    event = Event(
        *("only:1.1.1@1.1", "Only", 1, 1, Fraction(1), Fraction(0), Fraction(1), 1, 1),
        *(sound, cup, loudness, 1, 1),
    )
    marks = {mark.kind: mark for mark in sound.marks}
    settings = {"low_cents": low, "high_cents": high} | more
    return Note(event, marks, attack, 1.0, length_s, 1.0, **settings)  # type: ignore[arg-type]


def samples(curve: Curve, length_s: float, step_s: float = 0.001) -> list[float]:
    """A curve over a note, a thousand times a second."""
    return [curve.at(n * step_s) for n in range(int(length_s / step_s) + 1)]


seeds = st.integers(-(2**70), 2**70)
