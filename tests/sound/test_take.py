"""Takes: the tab on other harps, and count-ins before any bar."""

from __future__ import annotations

from fractions import Fraction

import pytest

from reedwright.harp.harp import harp_named
from reedwright.performance.countin import count_in
from reedwright.performance.playing import ClickKind
from reedwright.sound.take import Manner, Take, on_harp
from tests.sound.tunes import score_of

SCORE = score_of()


def take(harp: str = "C", tempo_bpm: int = 200) -> Take:
    return Take(SCORE, harp_named(harp), Fraction(tempo_bpm), Manner())


@pytest.mark.parametrize(("harp", "roots"), [("A", "E7 A7 E7 B7"), ("D", "A7 D7 A7 E7")])
def test_the_form_moves_with_the_harp(harp: str, roots: str) -> None:
    moved = on_harp(SCORE, harp_named(harp))
    chords = [span.chord.name() for bar in moved.tune.form.bars for span in bar]
    assert " ".join(chords) == roots
    assert moved.events == SCORE.events
    assert (moved.tune.key - SCORE.tune.key) % 12 == (
        moved.tune.harp.midi(SCORE.events[0].sound.notes[0])
        - SCORE.tune.harp.midi(SCORE.events[0].sound.notes[0])
    ) % 12


def test_its_own_harp_changes_nothing() -> None:
    assert on_harp(SCORE, SCORE.tune.harp) is SCORE


def test_bars_lie_where_the_performance_has_them() -> None:
    made = take()
    lines = made.performance.bar_lines
    assert [made.bar_sample(bar) for bar in range(8)] == [
        round(line.score_s * 48_000) for line in lines
    ]


def test_the_count_in_of_the_tune_is_the_performances_own() -> None:
    made = take()
    assert made.count_in(None, 0) == count_in(made.performance)


def test_the_count_in_of_a_lick_announces_its_own_pickup() -> None:
    made = take()
    without = frozenset(event.id for event in SCORE.events if event.lick == "Train")
    kinds = [click.kind for click in made.count_in(without, 2)]
    assert kinds == [ClickKind.OPENING, ClickKind.BEAT, ClickKind.BEAT, ClickKind.BEAT]
    calls = frozenset(one.id for one in SCORE.events if one.lick == "Call" and one.chorus == 1)
    assert ClickKind.PICKUP in [click.kind for click in made.count_in(calls, 0)]
