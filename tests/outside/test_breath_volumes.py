"""The default lungs against published numbers.

Sources: an adult's volumes from a physiology text: tidal 0.5, inspiratory reserve 3.1, expiratory
reserve 1.2, vital capacity 4.8 litres. Wind players' flow 0.05 to 1.6 litres per second: Bouhuys
1964. No published flow of a harmonica was found, so the flows are only held to that range.
"""

import pytest

from reedwright.breath.ledger import Segment, keep_ledger
from reedwright.breath.settings import default_lungs
from reedwright.tune.marks import Loudness

TIDAL_L, INSPIRATORY_RESERVE_L, EXPIRATORY_RESERVE_L = 0.5, 3.1, 1.2
VITAL_CAPACITY_L = 4.8
LEAST_L_PER_S, MOST_L_PER_S = 0.05, 1.6


def test_the_textbook_volumes_add_up() -> None:
    lungs = default_lungs()
    parts_l = TIDAL_L + INSPIRATORY_RESERVE_L + EXPIRATORY_RESERVE_L
    assert lungs.vital_capacity_l == VITAL_CAPACITY_L == pytest.approx(parts_l)
    assert lungs.start_l == lungs.easy_low_l == EXPIRATORY_RESERVE_L
    assert lungs.easy_high_l == EXPIRATORY_RESERVE_L + TIDAL_L


def test_from_rest_a_draw_run_has_three_times_the_room_of_a_blow_run() -> None:
    """Computed from the volumes: 3.6 litres for draws, 1.2 for blows."""
    lungs = default_lungs()
    for kind, room_l in (("draw", 3.6), ("blow", 1.2)):
        for excess_l in (-1e-6, 1e-6):
            run = [Segment(kind, 1.0, (room_l + excess_l) / 4)] * 4  # type: ignore[arg-type]
            assert keep_ledger(run, lungs, lungs.hard).feasible is (excess_l < 0)


@pytest.mark.parametrize("loudness", Loudness)
@pytest.mark.parametrize("reeds", [1, 2, 3, 4])
def test_flows_lie_within_those_of_wind_players(loudness: Loudness, reeds: int) -> None:
    lungs = default_lungs()
    deepest = 3 if reeds == 1 else 0  # chords are not bent
    for bend in (0, deepest):
        for flow in (
            lungs.flow_l_per_s("draw", reeds, loudness, bend),
            lungs.flow_l_per_s("blow", reeds, loudness, bend),
        ):
            assert LEAST_L_PER_S <= flow <= MOST_L_PER_S
