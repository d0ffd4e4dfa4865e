"""Small tunes as text for the performance and MIDI tests, fixed ones and random ones."""

import re
from fractions import Fraction

from hypothesis import strategies as st

from reedwright.performance.perform import perform
from reedwright.performance.values import Performance, TimedEvent
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune

PICKUP = """\
Title: Two Lanterns
Harp: A
Position: 2
Feel: shuffle
Tempo: 60, 90
Count-in: 2 bars

Lick Call
0: . . . 2d&3d'
1: 3d&=&4d 4d . 1+2b&1+2b
2: 2d&2d''&1d&1b 2d = =&.

Lick Reply
1: .&4d 5d 4d&3d .

Chorus, 2 times
1 Call
3 Reply, 2 times
"""


def score_of(text: str) -> Score:
    return place(read_tune(text))


def one_bar(cells: str, **header: str) -> Score:
    """A tune of one lick of one bar on a C harp in first position."""
    head = {"Title": "Short", "Harp": "C", "Position": "1", "Tempo": "60"} | header
    lines = [f"{key.replace('_', '-')}: {value}" for key, value in head.items()]
    return score_of("\n".join([*lines, "", "Lick Only", f"1: {cells}", ""]))


def played(text: str, tempo_bpm: int = 60, ratio: Fraction | None = None) -> Performance:
    return perform(score_of(text), Fraction(tempo_bpm), ratio)


def onsets(performance: Performance) -> list[Fraction]:
    """Onsets in beats from bar 1."""
    return [timed.onset_beats - performance.count_in_beats for timed in performance.events]


def by_id(performance: Performance) -> dict[str, TimedEvent]:
    return {timed.event.id: timed for timed in performance.events}


TOKENS = (
    *("4d", "4b", "3d'", "2d''", "3d'''", "10b''", "6bo", "1+2b", "2+3d", "1+4d", "4x5d", "4x5d@3"),
    *("/4d", "4d\\", "2>4d", "6bv", "5bw@2", "4dh", "4df", "4d!", "(4d)"),
)
ratios = st.fractions(min_value=1, max_value=Fraction(7, 2), max_denominator=30)
tempos = st.fractions(min_value=20, max_value=400, max_denominator=10)


def _bars(tokens: tuple[str, ...], beats: int) -> st.SearchStrategy[str]:
    part = st.sampled_from((*tokens, *("=", ".") * (1 + len(tokens) // 4)))
    cell = st.lists(part, min_size=1, max_size=12).map("&".join)
    return st.lists(cell, min_size=beats, max_size=beats).map(" ".join)


def _lick(name: str, bars: list[str], first: int = 1) -> list[str]:
    """A lick's lines; a hold with nothing to hold, which a tune may not have, becomes a rest."""
    lines = [f"Lick {name}"]
    sounding = False
    for number, bar in enumerate(bars, first):
        pieces = re.split("([ &])", bar)
        for index, piece in enumerate(pieces[::2]):
            pieces[2 * index] = "." if piece == "=" and not sounding else piece
            sounding = pieces[2 * index] != "."
        lines.append(f"{number}: {''.join(pieces)}")
    return lines


@st.composite
def tune_texts(draw: st.DrawFn, tokens: tuple[str, ...] = TOKENS) -> str:
    """A tune of two licks, one with a pickup, any meter and feel, that may overlap."""
    meter, beats = draw(st.sampled_from((("4/4", 4), ("3/4", 3), ("2/4", 2), ("12/8", 4))))
    bar = _bars(tokens, beats)
    feel = "straight" if meter == "12/8" else draw(st.sampled_from(("shuffle", "swing 1.5:1")))
    bars = draw(st.lists(bar, min_size=1, max_size=3))
    lines = ["Title: Any", "Harp: C", "Position: 2", f"Meter: {meter}", f"Feel: {feel}"]
    lines += ["Tempo: 90", *_lick("One", bars), *_lick("Two", [draw(bar), draw(bar)], first=0)]
    lines += ["Chorus, 2 times", "1 One", f"{len(bars) + 1} Two", f"{len(bars) + 2} One"]
    return "\n".join(lines) + "\n"
