"""The page about a rig: levels measured in the stages, in words and as JSON."""

from __future__ import annotations

from dataclasses import replace

import pytest

from reedwright.amp.exposure import dose_percent, in_words
from reedwright.amp.path import CAUTIONS, document, page
from reedwright.amp.probe import LOUD_CLOSED, SOFT_OPEN, readings
from reedwright.amp.read import default_rig

RIG = default_rig()


def test_levels_follow_from_the_figures_where_nothing_bends() -> None:
    """By hand: -26 dBFS of 20 Pa is 94 dB SPL; 1 Pa at 12 mV is -38.4 dBV, less the cuts."""
    lips, cup, microphone, *_ = readings(RIG, SOFT_OPEN)
    assert lips.level_db == pytest.approx(94.0, abs=0.05)
    assert cup.level_db == pytest.approx(94.0, abs=0.1)
    assert microphone.level_db == pytest.approx(-38.4, abs=1.0)
    lips, cup, *_ = readings(RIG, LOUD_CLOSED)
    assert lips.level_db == pytest.approx(106.0, abs=0.05)
    assert cup.level_db == pytest.approx(106.0 + RIG.cup.closed_gain_db, abs=0.6)


def test_power_and_pressure_agree() -> None:
    """The speaker's level at 1 m: its sensitivity and ten log of the watts, but for its curve."""
    for blow in (SOFT_OPEN, LOUD_CLOSED):
        by_stage = {reading.stage: reading for reading in readings(RIG, blow)}
        watts = by_stage["power stage"].watts
        assert watts is not None
        assert 0 < watts < 2 * RIG.power.power_w
        pressure = 10 ** (by_stage["speaker"].level_db / 10)
        assert pressure == pytest.approx(watts * 10 ** (RIG.speaker.sensitivity_db / 10), rel=0.3)


def test_more_gain_is_more_distortion() -> None:
    hot = replace(RIG, preamp=replace(RIG.preamp, gain_db=RIG.preamp.gain_db + 6))
    plain, more = (readings(rig, SOFT_OPEN)[3].distortion_percent for rig in (RIG, hot))
    assert more > 1.5 * plain


def test_the_page_says_all_of_it_within_eighty_columns() -> None:
    lines = page(document(RIG))
    text = " ".join(" ".join(lines).split())
    assert max(map(len, lines)) <= 80
    for stage in ("lips", "cup", "microphone", "preamp", "power stage", "speaker", "recording"):
        assert any(line.startswith(f"  {stage} ") for line in lines), stage
    for caution in CAUTIONS:
        assert caution in text
    assert "possible 40.0 dB" in text
    assert "needed for the farthest listener 14.0 dB" in text
    assert "88 dBA: 4 h a day (NIOSH)" in text


def test_a_plan_that_howls_is_told() -> None:
    far = replace(RIG, stage=replace(RIG.stage, harp_to_microphone_m=2.0, enough_at_m=0.5))
    text = " ".join(" ".join(page(document(far))).split())
    gains = document(far)["feedback"]
    assert gains["spare_db"] < 0
    assert f"{-gains['spare_db']:.1f} dB short: go nearer to the microphone" in text


def test_the_document_for_programs() -> None:
    told = document(RIG)
    assert told["schema"] == "reedwright.amp/1"
    assert told["key"] == RIG.key
    assert [way["played"] for way in told["path"]] == ["soft, hands open", "loud, hands closed"]
    assert all(len(way["stages"]) == 7 for way in told["path"])
    assert [row["rule"] for row in told["exposure"]] == ["NIOSH", "NIOSH", "ITU-T H.870"]
    assert told["exposure"][1]["used_percent"] == 25


@pytest.mark.parametrize(
    ("hours", "words"),
    [
        (24.0, "all day"),
        (8.0, "8 h"),
        (1.5, "1 h 30 min"),
        (0.25, "15 min"),
        (0.0111, "40 s"),
        (0.0001, "not at all"),
        (3.999, "3 h 59 min"),
    ],
)
def test_hours_in_words(hours: float, words: str) -> None:
    assert in_words(hours, 24.0, "day") == words


def test_dose() -> None:
    assert dose_percent(1.0, 4.0) == 25.0
