"""The curves of a note: glides, vibratos, wah. The sizes are ours, from memory; so is the test."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.performance.habits import DIP_S, FALL_S, THROAT_CENTS
from reedwright.performance.perform import perform
from reedwright.sheet.midi_shape import (
    CLOSED_BRIGHTNESS,
    FULL,
    HAND_DEPTH,
    OPEN_BRIGHTNESS,
    Shape,
    shape_of,
)
from tests.performance.tunes import one_bar


def of(token: str, manner: str = "", tempo_bpm: int = 60) -> Shape:
    performance = perform(one_bar(f"{manner} {token} . . ."), Fraction(tempo_bpm))
    return shape_of(performance.events[0], tempo_bpm / 60)


def test_a_plain_note_does_not_move() -> None:
    shape = of("4d")
    assert shape == Shape(length_s=1.0)
    assert not shape.moves
    assert (shape.cents(0.5), shape.expression(0.5), shape.brightness(0.5)) == (
        0.0,
        FULL,
        OPEN_BRIGHTNESS,
    )


def test_a_dip_comes_from_below_and_arrives() -> None:
    shape = of("//3d")
    assert shape.cents(0.0) == -200.0
    assert shape.cents(DIP_S / 2) == pytest.approx(-100.0)
    assert shape.cents(DIP_S) == shape.cents(0.9) == 0.0


def test_a_fall_leaves_at_the_end() -> None:
    shape = of("4d\\")
    assert shape.cents(1.0 - FALL_S) == pytest.approx(0.0)
    assert shape.cents(1.0 - FALL_S / 2) == pytest.approx(-50.0)
    assert shape.cents(1.0) == -100.0


def test_a_short_note_still_reaches_its_pitch() -> None:
    shape = of("/4d\\&.&.&.", tempo_bpm=200)  # 75 ms
    assert shape.cents(0.0) == -100.0
    assert shape.cents(shape.length_s * 0.4) == 0.0
    assert shape.cents(shape.length_s) == -100.0


def test_throat_vibrato_lies_below_the_note() -> None:
    shape = of("4dv@2", tempo_bpm=90)  # three times a second
    assert shape.throat_hz == 3.0
    assert shape.cents(0.0) == 0.0
    assert shape.cents(1 / 6) == pytest.approx(-THROAT_CENTS)
    assert shape.cents(1 / 3) == pytest.approx(0.0)


def test_vibrato_waits_for_the_dip() -> None:
    shape = of("/4dv")
    assert shape.cents(DIP_S) == pytest.approx(0.0)
    assert shape.cents(DIP_S + 0.1) == pytest.approx(-THROAT_CENTS)  # half of a fifth of a second


def test_hand_vibrato_and_flutter_move_the_loudness_only() -> None:
    hand, flutter = of("4dh@4"), of("4df")
    assert not hand.pitch_moves
    assert hand.expression(0.125) == FULL - HAND_DEPTH
    assert hand.expression(0.25) == FULL
    assert min(flutter.expression(t / 1000) for t in range(100)) < FULL - 50


def test_the_cup_sets_the_tone() -> None:
    assert of("4d", "{cup closed}").brightness(0.3) == CLOSED_BRIGHTNESS
    assert of("4d", "{cup open}").brightness(0.3) == OPEN_BRIGHTNESS
    moving = of("4d", "{cup moving}")
    assert [moving.brightness(t) for t in (0.0, 0.5, 1.0)] == [
        CLOSED_BRIGHTNESS,
        OPEN_BRIGHTNESS,
        CLOSED_BRIGHTNESS,
    ]
    assert of("4dw@3", "{cup closed}").wah_hz == 3.0


def test_no_rate_is_faster_than_the_sampling_can_show() -> None:
    assert of("4dv@16", tempo_bpm=400).throat_hz == 25.0


marked = st.tuples(
    st.sampled_from(("", "/", "///")),
    st.sampled_from(("", "v", "h@3", "w", "f", "v@2h")),
    st.sampled_from(("", "\\", "\\\\")),
).map(lambda marks: f"{marks[0]}3d{marks[1]}{marks[2]}")


@given(marked, st.floats(0.0, 1.0), st.integers(20, 400))
def test_values_stay_in_range(token: str, share: float, tempo_bpm: int) -> None:
    shape = of(token, tempo_bpm=tempo_bpm)
    at_s = share * shape.length_s
    assert -300.0 - 200.0 - THROAT_CENTS <= shape.cents(at_s) <= 1e-9
    assert 0 <= shape.expression(at_s) <= FULL
    assert CLOSED_BRIGHTNESS <= shape.brightness(at_s) <= OPEN_BRIGHTNESS
