"""Gain before feedback and exposure against the worked values of their sources."""

from __future__ import annotations

from dataclasses import replace

import pytest

from reedwright.amp.exposure import hours_a_day, hours_a_week
from reedwright.amp.feedback import feedback
from reedwright.amp.read import default_rig

# Sound-reinforcement texts; the values worked out by hand: 20 log10(4 · 10 / (0.3 · 8)) …
PLAN = replace(
    default_rig().stage,
    harp_to_microphone_m=0.3,
    microphone_to_speaker_m=4.0,
    harp_to_listener_m=10.0,
    speaker_to_listener_m=8.0,
    enough_at_m=2.0,
    open_microphones=1.0,
)


@pytest.mark.parametrize(("source_m", "potential_db"), [(0.3, 24.4), (0.05, 40.0)])
def test_potential_acoustic_gain(source_m: float, potential_db: float) -> None:
    gains = feedback(replace(PLAN, harp_to_microphone_m=source_m))
    assert gains.potential_db == pytest.approx(potential_db, abs=0.05)
    assert gains.usable_db == pytest.approx(potential_db - 6, abs=0.05)


def test_needed_acoustic_gain() -> None:
    assert feedback(PLAN).needed_db == pytest.approx(14.0, abs=0.05)


def test_each_doubling_of_open_microphones_costs_3_db() -> None:
    """Sound-reinforcement texts: 10 log10 of their number."""
    one, two = (feedback(replace(PLAN, open_microphones=float(n))) for n in (1, 2))
    assert one.usable_db - two.usable_db == pytest.approx(3.01, abs=0.005)


# NIOSH recommended exposure limit, CDC: 85 dBA for 8 hours, half of that each 3 dB.
NIOSH = [(85, 8), (88, 4), (91, 2), (94, 1), (97, 0.5), (100, 0.25)]


@pytest.mark.parametrize(("level_dba", "hours"), NIOSH)
def test_the_day_by_niosh(level_dba: float, hours: float) -> None:
    assert hours_a_day(level_dba) == pytest.approx(hours)


def test_the_week_by_itu_t_h_870() -> None:
    """ITU-T H.870: adults 80 dBA for 40 h a week, children 75; ten decibels are ten times the
    energy (a law), so a tenth of the time."""
    assert hours_a_week(80) == pytest.approx(40)
    assert hours_a_week(75, 75.0) == pytest.approx(40)
    assert hours_a_week(90) == pytest.approx(4)
    assert hours_a_week(75) == pytest.approx(40 * 10**0.5)
