"""The chamber model: what two reeds and a mouth do by themselves."""

import numpy as np
import pytest

from reedwright.voice.chamber import RATE_HZ, STEPS, run_hole
from reedwright.voice.kinds import Kind, kinds

MS = 400


def run(
    kind: Kind,
    *,
    hertz: float = 400.0,
    depth: int = -1,
    steered: bool = False,
    pressure: float = 1.0,
) -> tuple[np.ndarray, np.ndarray]:
    """(pitch heard each millisecond, flow) of a hole at one of its solved depths."""
    wanted = hertz * 2 ** (kind.cents[depth] / 1200)
    ones = np.ones(MS + 1)
    controls = np.stack(
        [
            (wanted if steered else 1e6) * ones,
            kind.mouth[depth] * ones,
            (kind.slope[depth] if steered else 0.0) * ones,
            pressure * np.clip(np.arange(MS + 1) / 12, 0, 1),
        ]
    )
    flow = np.empty(MS * STEPS)
    tuned = hertz * 2 ** (kind.tuning_cents / 1200)
    return run_hole(kind.hole, kind.start[depth].copy(), tuned, controls, flow), flow


def off_cents(heard: np.ndarray, kind: Kind, depth: int, hertz: float = 400.0) -> float:
    late = np.median(heard[-60:]) / hertz
    return float(1200 * np.log2(late) - kind.cents[depth])


@pytest.mark.parametrize("interval", [-5, -4, -3, -2, -1, 1, 2, 3, 4])
def test_a_natural_note_sounds_its_closing_reed(interval: int) -> None:
    heard, flow = run(kinds()[interval, False])
    assert abs(off_cents(heard, kinds()[interval, False], -1)) < 3
    assert flow[-RATE_HZ // 10 :].std() > 0.1


@pytest.mark.parametrize("interval", [-4, -3, -2])
def test_the_mouth_alone_bends_through_every_depth(interval: int) -> None:
    """Nobody steers: a lower mouth gives a lower note, down to near the other reed."""
    kind = kinds()[interval, False]
    pitches = [
        1200 * np.log2(np.median(run(kind, depth=depth)[0][-60:]) / 400)
        for depth in range(len(kind.cents))
    ]
    assert pitches == sorted(pitches)
    assert 100 * interval < pitches[0] < 100 * interval + 40
    assert max(np.diff(pitches)) < 40


@pytest.mark.parametrize("interval", [1, 2, 3])
def test_an_overbend_sounds_above_both_reeds(interval: int) -> None:
    kind = kinds()[interval, True]
    heard, _ = run(kind, steered=True)
    assert abs(off_cents(heard, kind, -1)) < 2
    assert np.median(heard[-60:]) / 400 > 2 ** (interval / 12)


def test_the_player_steers_to_a_pitch_the_mouth_missed() -> None:
    """The mouth is set a quarter-tone off: heard, and put right, at once for the ear."""
    kind = kinds()[-3, False]
    depth = 6
    wanted = 400 * 2 ** (kind.cents[depth] / 1200)
    ones = np.ones(MS + 1)
    mouth, slope = kind.mouth[depth] * 1.03, kind.slope[depth]
    controls = np.stack([wanted * ones, mouth * ones, slope * ones, ones])
    tuned = 400 * 2 ** (kind.tuning_cents / 1200)
    heard = run_hole(kind.hole, kind.start[depth].copy(), tuned, controls, np.empty(MS * STEPS))
    off = 1200 * np.abs(np.log2(heard / wanted))
    assert off[20:30].max() > 5
    assert off[-100:].max() < 2


@pytest.mark.parametrize("hertz", [130.0, 260.0, 1040.0, 2080.0])
def test_a_hole_sounds_alike_in_every_register(hertz: float) -> None:
    """Twice the clock, the same motion: swing in the model's own unit, within half a decibel."""
    kind = kinds()[-2, False]
    middle = run(kind, hertz=400.0)[1][-RATE_HZ // 10 :].std()
    here = run(kind, hertz=hertz)[1][-RATE_HZ // 10 :].std()
    assert 20 * abs(np.log10(here / middle)) < 0.5


def test_without_air_nothing_sounds() -> None:
    heard, flow = run(kinds()[-2, False], pressure=0.0)
    assert np.isfinite(heard).all()
    assert np.abs(flow[-STEPS:]).max() < 0.02
