"""Forms, swing and the order of techniques against facts from outside the project.

Each source stands beside its check.
"""

import itertools
from fractions import Fraction

import pytest

from reedwright.tune.form import form_names, parse_form
from reedwright.tune.meter import Meter, parse_feel
from reedwright.tune.techniques import ladder

E = 4
_NUMERALS = {0: "I", 5: "IV", 7: "V", 8: "bVI"}


def degrees(name: str) -> list[str]:
    """Each bar of a form as numerals above the key note, without their sevenths."""
    form = parse_form(name, E, Meter())
    bars = ([_NUMERALS[(span.chord.root - E) % 12] for span in bar] for bar in form.bars)
    return ["-".join(bar) for bar in bars]


# Benward & Saker, Music in Theory and Practice, 2003, p. 186, via an encyclopedia: the earlier
# twelve bars are I I I I / IV IV I I / V V I I, later V IV I I; as a turnaround the last bar is V.
EARLIER = ["I", "I", "I", "I", "IV", "IV", "I", "I", "V", "V", "I", "I"]
LATER = ["I", "I", "I", "I", "IV", "IV", "I", "I", "V", "IV", "I", "V"]


def test_twelve_bars_of_the_book() -> None:
    assert degrees("12-bar old") == EARLIER
    assert degrees("12-bar") == LATER


# Common practice, no source: quick change has IV in bar 2.
def test_quick_change() -> None:
    assert degrees("12-bar quick change") == ["I", "IV", *LATER[2:]]


# Common practice, no source: i i i i / iv iv i i / V iv i V, or bVI V in bars 9 and 10.
def test_minor() -> None:
    assert degrees("12-bar minor") == LATER
    assert degrees("12-bar minor flat six") == [*LATER[:8], "bVI", "V", "I", "V"]
    for name in ("12-bar minor", "12-bar minor flat six"):
        form = parse_form(name, E, Meter())
        minor = {
            _NUMERALS[(s.chord.root - E) % 12] for bar in form.bars for s in bar if s.chord.minor
        }
        assert minor == {"I", "IV"}


# Common practice; several textbooks.
@pytest.mark.parametrize(
    ("name", "bars"),
    [
        ("8-bar", "I V IV IV I V I V"),
        ("8-bar plain", "I I IV IV I V I-IV I-V"),
        ("16-bar", "I I I I IV IV I I V IV V IV V IV I V"),
    ],
)
def test_other_lengths(name: str, bars: str) -> None:
    assert degrees(name) == bars.split()


def test_no_form_is_left_unchecked() -> None:
    assert len(form_names()) == 8


# Friberg & Sundström, Music Perception 19(3) 333-349, 2002: the short note of a swung pair stays
# near 100 ms, so that r = (60000/bpm - 100)/100; from 3.5:1 slow to 1:1 fast. Worked by hand:
@pytest.mark.parametrize(
    ("tempo_bpm", "ratio"),
    [
        (60, 3.5),
        (100, 3.5),
        (140, 3.29),
        (160, 2.75),
        (200, 2.0),
        (240, 1.5),
        (300, 1.0),
        (400, 1.0),
    ],
)
def test_swing_by_tempo(tempo_bpm: int, ratio: float) -> None:
    feel = parse_feel("swing by tempo")
    assert round(float(feel.ratio_at(Fraction(tempo_bpm))), 2) == ratio


# The same law, another way: while it is not clamped, the short note lasts 100 ms.
@pytest.mark.parametrize("tempo_bpm", range(135, 300, 5))
def test_the_short_note_lasts_a_tenth_of_a_second(tempo_bpm: int) -> None:
    ratio = float(parse_feel("swing by tempo").ratio_at(Fraction(tempo_bpm)))
    assert 60_000 / tempo_bpm / (1 + ratio) == pytest.approx(100, rel=0.005)


# Common practice, no source: a shuffle is triplet-based, 2:1, at every tempo.
@pytest.mark.parametrize("tempo_bpm", [20, 60, 140, 400])
def test_a_shuffle_is_two_to_one(tempo_bpm: int) -> None:
    assert parse_feel("shuffle").ratio_at(Fraction(tempo_bpm)) == 2


# Common practice, no source: clean single notes, chord rhythm, 4 1 6 draw half-steps, 2 draw, 3
# draw each depth on its own, blow bends 8 to 10, overbends.
LADDER = (
    ["single-notes"], ["chord-rhythm"], ["4d'", "1d'", "6d'"], ["2d'", "2d''"],
    ["3d'", "3d''", "3d'''"], ["8b'", "9b'", "10b'", "10b''"], ["overblows", "overdraws"],
)  # fmt: skip


def test_the_order_of_techniques() -> None:
    order = list(ladder().techniques)
    steps = [[order.index(one) for one in step] for step in LADDER]
    assert all(max(a) < min(b) for a, b in itertools.pairwise(steps))
    hard = [[ladder().techniques[one].difficulty for one in step] for step in LADDER]
    assert all(min(a) <= min(b) and max(a) <= max(b) for a, b in itertools.pairwise(hard))
