"""Meters and feels."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import TuneError
from reedwright.tune.meter import SWING_LIMITS, Feel, Meter, parse_feel, parse_meter


@pytest.mark.parametrize(
    ("text", "beats", "quarters"),
    [
        ("4/4", 4, 1),
        ("3 / 4", 3, 1),
        ("2/4", 2, 1),
        ("6/8", 2, 1.5),
        ("9/8", 3, 1.5),
        ("12/8", 4, 1.5),
    ],
)
def test_counted_beats(text: str, beats: int, quarters: float) -> None:
    meter = parse_meter(text)
    assert (meter.beats, float(meter.beat_quarters)) == (beats, quarters)
    assert parse_meter(str(meter)) == meter


@pytest.mark.parametrize(
    "text", ["0/4", "13/4", "5/8", "4/2", "4", "4/4/4", "٤/٤", "9" * 400 + "/4", ""]
)
def test_no_meter(text: str) -> None:
    with pytest.raises(TuneError):
        parse_meter(text)


@pytest.mark.parametrize(
    ("text", "ratio"),
    [
        ("Straight", "1"),
        ("shuffle", "2"),
        ("swing 1.5", "3/2"),
        ("swing 3 : 2", "3/2"),
        ("swing 2:1", "2"),
    ],
)
def test_feels(text: str, ratio: str) -> None:
    assert parse_feel(text).ratio_at(Fraction(77)) == Fraction(ratio)


@given(st.fractions(20, 400))
def test_swing_by_tempo_stays_in_its_limits_and_falls(tempo_bpm: Fraction) -> None:
    feel = parse_feel("swing by tempo")
    ratio = feel.ratio_at(tempo_bpm)
    assert SWING_LIMITS[0] <= ratio <= SWING_LIMITS[1]
    assert ratio.denominator <= 100
    assert feel.ratio_at(tempo_bpm + 10) <= ratio


@pytest.mark.parametrize("ratio", ["9/10", "36/10"])
def test_no_swing(ratio: str) -> None:
    with pytest.raises(TuneError, match="swing"):
        Feel("swing", Fraction(ratio))


def test_meter_says_what_it_is_not() -> None:
    with pytest.raises(TuneError, match="meter 5/8"):
        Meter(5, 8)
