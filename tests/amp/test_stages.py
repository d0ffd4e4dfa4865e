"""Each stage by itself: what it promises in its own units."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.signal import oaconvolve, sosfreqz

from reedwright.amp.echo import with_echo
from reedwright.amp.oversample import Down, Up
from reedwright.amp.pickup import Capsule, Hands
from reedwright.amp.read import default_rig
from reedwright.amp.rig import limit_v
from reedwright.amp.space import in_space, room_response, space_response, spring_response
from reedwright.amp.speaker import sections
from reedwright.amp.valves import PowerStage, PreampStage
from tests.amp.signals import RATE_HZ, sines

RIG = default_rig()
TIME_S = np.arange(RATE_HZ) / RATE_HZ


def sine(hz: float, peak: float = 1.0) -> np.ndarray:
    return peak * np.sin(2 * np.pi * hz * TIME_S)


def gain_db(out: np.ndarray, given: np.ndarray) -> float:
    half = len(out) // 2
    return float(10 * np.log10(np.mean(out[half:] ** 2) / np.mean(given[half:] ** 2)))


@pytest.mark.parametrize(("hz", "least_db", "most_db"), [(300, 12.5, 14), (6000, -6, 3)])
def test_closed_hands_raise_the_level_and_cut_treble(
    hz: float, least_db: float, most_db: float
) -> None:
    closed = gain_db(Hands(RIG.cup)(sine(hz), np.zeros(RATE_HZ, np.float32)), sine(hz))
    open_ = gain_db(Hands(RIG.cup)(sine(hz), np.ones(RATE_HZ, np.float32)), sine(hz))
    assert least_db < closed - open_ < most_db


def test_hands_that_jump_do_not_click() -> None:
    """On a low note the spectrum far above it shows the switch: below -50 dBFS (the project's own
    bound for a step)."""
    low = sine(100, 0.1)
    jump = np.where(TIME_S < 0.5, 1.0, 0.0)
    out = Hands(RIG.cup)(low, jump)
    second_difference = np.abs(np.diff(out, 2))[100:]
    steady = np.abs(np.diff(sine(100, 0.5), 2)).max()
    assert second_difference.max() < steady + 10 ** (-50 / 20)


def test_the_microphone_gives_its_millivolts() -> None:
    """1 kHz at 1 Pa RMS: the sensitivity, but for what the two cuts take (under 0.3 dB)."""
    pascal = sine(1000, np.sqrt(2) / 20.0)
    volts = Capsule(RIG.microphone)(pascal)[RATE_HZ // 2 :]
    expected = RIG.microphone.sensitivity_mv_per_pa / 1000
    assert 20 * np.log10(np.sqrt(np.mean(volts**2)) / expected) == pytest.approx(0, abs=0.3)


def test_preamp_is_linear_when_soft_and_bounded_when_not() -> None:
    soft = sine(1000, 1e-5)
    stage = replace(RIG.preamp, treble_db=0.0)
    out = Down()(PreampStage(stage)(Up()(soft)))
    assert gain_db(out, soft) == pytest.approx(stage.gain_db, abs=0.1)
    loud = PreampStage(stage)(Up()(sine(1000, 100.0)))
    # the coupling moves the middle of the wave, so the swing is what is bounded
    assert np.ptp(loud) <= 2 * limit_v(stage.headroom_v, stage.bias_percent)


def test_bass_and_treble_do_what_they_say() -> None:
    for hz, key in ((60, "bass_db"), (12_000, "treble_db")):
        flat = replace(RIG.preamp, bass_db=0.0, treble_db=0.0)
        lifted = replace(flat, **{key: 6.0})
        given = sine(hz, 1e-5)
        outs = [Down()(PreampStage(stage)(Up()(given))) for stage in (flat, lifted)]
        assert 4.5 < gain_db(outs[1], outs[0]) <= 6.1


def test_a_sine_at_the_headroom_is_near_the_rated_power_when_undistorted() -> None:
    quiet = sine(500, RIG.power.headroom_v / 100)
    power = replace(RIG.power, volume_db=0.0, sag_percent=0.0)
    out = Down()(PowerStage(power, RIG.tremolo)(Up()(quiet)))
    assert gain_db(out, quiet) == pytest.approx(0, abs=0.02)


def test_the_supply_gives_way_under_load() -> None:
    """After an attack the level falls, by no more than `sag_percent`."""
    loud = sine(400, 4 * RIG.power.headroom_v)
    power = replace(RIG.power, sag_percent=20.0, sag_ms=60.0)
    out = Down()(PowerStage(power, RIG.tremolo)(Up()(loud)))
    early, late = (np.abs(out[a:b]).max() for a, b in ((300, 800), (40_000, 48_000)))
    assert 0.78 < late / early < 0.9


@pytest.mark.parametrize("rate_hz", [3.0, 6.0])
def test_tremolo_swings_at_its_rate_and_depth(rate_hz: float) -> None:
    quiet = sine(1000, 1e-3)
    tremolo = replace(RIG.tremolo, depth_percent=60.0, rate_hz=rate_hz)
    out = Down()(PowerStage(RIG.power, tremolo)(Up()(quiet)))
    level = np.sqrt(np.mean(out.reshape(-1, 480) ** 2, axis=1))  # a hundred figures a second
    assert level.min() / level.max() == pytest.approx(0.4, abs=0.03)
    assert int(np.argmax(np.abs(np.fft.rfft(level - level.mean())))) == rate_hz


def test_the_speaker_falls_at_both_ends() -> None:
    hz, response = sosfreqz(sections(RIG.speaker), worN=1 << 14, fs=RATE_HZ)

    def level(at: float) -> float:
        return float(20 * np.log10(np.abs(response[np.argmin(np.abs(hz - at))])))

    assert abs(level(400)) < 1.5
    assert level(2500) == pytest.approx(RIG.speaker.presence_db, abs=0.6)
    assert level(RIG.speaker.resonance_hz / 4) < -20
    assert level(10_000) < -20
    assert level(14_000) < -30


def test_the_echo_comes_when_it_should_and_repeats() -> None:
    click = np.zeros(RATE_HZ, np.float32)
    click[0] = 1.0
    echo = replace(RIG.echo, delay_ms=135.0, share_percent=50.0, repeat_percent=30.0)
    out = with_echo(click, echo)
    assert out[0] == 1.0
    first, second = 6480, 2 * 6480  # 135 ms at 48 kHz
    assert not out[1:first].any()
    assert out[first : first + 2000].sum() == pytest.approx(0.5, rel=0.01)
    assert out[second : second + 2000].sum() == pytest.approx(0.15, rel=0.01)


def test_springs_fall_by_60_db_in_their_time_and_chirp() -> None:
    response = spring_response(1.5)
    energy = np.cumsum(response[::-1] ** 2)[::-1]
    level = 10 * np.log10(energy / energy[0] + 1e-15)
    at_10, at_40 = (int(np.argmax(level < fall)) / RATE_HZ for fall in (-10, -40))
    assert 2 * (at_40 - at_10) == pytest.approx(1.5, rel=0.25)
    # of the first passes high tones come later than low ones, and nothing comes at once
    first = response[: int(0.06 * RATE_HZ)]
    assert np.abs(response[: int(0.02 * RATE_HZ)]).max() < 0.05 * np.abs(response).max()
    spectrum = np.fft.rfft(first)
    lag = -np.gradient(np.unwrap(np.angle(spectrum)))
    hz = np.fft.rfftfreq(len(first), 1 / RATE_HZ)
    low, high = (np.median(lag[(hz > a) & (hz < a + 500)]) for a in (300, 2300))
    assert high > low


def test_the_first_echo_of_the_room_is_that_of_the_nearest_wall() -> None:
    """Mirror image by hand: the speaker stands at 1.4, 1.75, 0.56 m, the listener at 4.9, 2.75,
    1.26 m; the floor's image lies at -0.56 m."""
    response = room_response(RIG.room)
    direct = np.sqrt(3.5**2 + 1.0**2 + 0.7**2)
    floor = np.sqrt(3.5**2 + 1.0**2 + 1.82**2)
    late = int((floor - direct) / 343 * RATE_HZ)
    assert response[0] == 1.0
    assert not response[1:late].any()
    level = np.sqrt(0.55) * direct / floor * 0.35
    assert response[late] + response[late + 1] == pytest.approx(level, rel=1e-6)


def test_a_long_sound_is_folded_in_pieces_without_a_seam() -> None:
    """Against one convolution of the whole (scipy)."""
    sound = sines(300, 1031, seconds=24)
    assert len(sound) > 1 << 20
    spring = replace(RIG.spring, share_percent=30.0)
    response = space_response(spring, RIG.room)
    wanted = oaconvolve(sound.astype(np.float64), response)[: len(sound)]
    assert np.abs(in_space(sound, spring, RIG.room) - wanted).max() < 1e-6


def test_no_share_is_no_change() -> None:
    sound = sines(300, seconds=0.2)
    dry = replace(RIG.room, share_percent=0.0)
    assert space_response(RIG.spring, dry).tolist() == [1.0]
    assert in_space(sound, RIG.spring, dry) is sound
    assert with_echo(sound, RIG.echo) is sound
