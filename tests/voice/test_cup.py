"""The hands round an acoustic harp: their line from a performance, and a filter without clicks."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from reedwright.performance.perform import perform
from reedwright.performance.play import play
from reedwright.performance.playing import Played
from reedwright.tune.place import place
from reedwright.tune.read import read_tune
from reedwright.voice.cup import CupError, acoustic, cup_line, helmholtz_hz

RATE_HZ = 48_000
TIME_S = np.arange(RATE_HZ) / RATE_HZ


def played(bars: str, manner: str, *, tempo: int = 60) -> Played:
    text = (
        f"Title: Cup\nHarp: C\nPosition: 2\nFeel: straight\nTempo: {tempo}\n\n"
        f"Lick A (cup {manner})\n{bars}\n\nChorus\n1 A\n"
    )
    return play(perform(place(read_tune(text, "cup.reed")), Fraction(tempo)), human=0.0)


def line_of(one: Played) -> np.ndarray:
    return cup_line(one, round(one.performance.length_s * RATE_HZ))


def sine(hz: float, rms: float = 0.1) -> np.ndarray:
    return (rms * np.sqrt(2) * np.sin(2 * np.pi * hz * TIME_S)).astype(np.float32)


def test_the_line_is_open_or_closed_as_written() -> None:
    for manner, openness in (("open", 1.0), ("closed", 0.0)):
        line = line_of(played("1: 4d 5d 4d .", manner))
        assert line.dtype == np.float32
        assert np.abs(line - openness).max() == 0.0


def test_the_line_is_each_playings_own_curve() -> None:
    """Everywhere inside a note: the curve's value at that moment, from the playing itself."""
    one = played("1: 4d 5dw . 4d\n2: 3d' . 2d .", "moving", tempo=90)
    line = line_of(one)
    for playing in one.playings:
        for at_s in np.linspace(playing.played_s + 1e-3, playing.played_end_s - 1e-3, 40):
            wanted = playing.cup.at(float(at_s) - playing.played_s)
            assert line[round(at_s * RATE_HZ)] == pytest.approx(wanted, abs=2e-3)


def test_hands_go_straight_from_note_to_note() -> None:
    one = played("1: 4d . . 5dw", "open")
    line = line_of(one)
    first, second = one.playings
    start, end = (round(s * RATE_HZ) for s in (first.played_end_s, second.played_s))
    gap = line[start:end]
    assert len(gap) > RATE_HZ
    assert np.diff(gap, 2) == pytest.approx(0, abs=1e-6)
    assert gap[0] == pytest.approx(first.cup.at(first.length_s), abs=1e-3)
    assert gap[-1] == pytest.approx(second.cup.at(0.0), abs=1e-3)


def test_a_line_shorter_than_the_performance_is_its_beginning() -> None:
    one = played("1: 4d 5d 4d 3d", "moving")
    assert np.array_equal(cup_line(one, 200_000), line_of(one)[:200_000])
    assert cup_line(one, 0).shape == (0,)


@pytest.mark.parametrize("openness", [0.0, 0.5, 1.0])
def test_still_hands_are_a_filter_that_does_not_change(openness: float) -> None:
    """Linear and steady: a sine stays a sine (harmonics below -100 dB)."""
    sound = sine(440)
    out = acoustic(sound, np.full(RATE_HZ, openness, np.float32))[RATE_HZ // 2 :]
    lines = np.abs(np.fft.rfft(out.astype(np.float64)))
    note = 220  # half a second: two hertz a line
    others = np.delete(lines, [note - 1, note, note + 1])[5:]
    assert others.max() < 1e-5 * lines[note]


@pytest.mark.parametrize("hz", [55, 165, 440])
def test_hands_that_jump_make_no_click(hz: float) -> None:
    """A step from sample to sample never exceeds what the sound itself has by -50 dBFS."""
    cup = np.where(TIME_S * 7 % 1 < 0.5, 1.0, 0.0).astype(np.float32)
    out = acoustic(sine(hz), cup).astype(np.float64)
    own = 2 * np.pi * hz / RATE_HZ * np.abs(out).max()
    assert np.abs(np.diff(out)).max() < own + 10 ** (-50 / 20)


def test_slow_hands_leave_no_zipper() -> None:
    """Under hands that move at 3 Hz a high note keeps only sidebands near it: nothing above -90 dB
    of it more than 200 Hz away."""
    cup = (0.5 - 0.5 * np.cos(2 * np.pi * 3 * TIME_S)).astype(np.float32)
    out = acoustic(sine(2_000), cup).astype(np.float64) * np.blackman(RATE_HZ)
    lines = np.abs(np.fft.rfft(out))
    far = np.abs(np.arange(len(lines)) - 2_000) > 200
    assert 20 * np.log10(lines[far].max() / lines.max()) < -90


def test_closed_hands_ring_at_the_cavitys_resonance() -> None:
    closed = np.zeros(RATE_HZ, np.float32)
    levels = {
        hz: np.std(acoustic(sine(hz), closed)[RATE_HZ // 2 :])
        for hz in (110, helmholtz_hz(300, 1), 450)
    }
    assert max(levels, key=levels.__getitem__) == helmholtz_hz(300, 1)


def test_the_same_bytes_again_and_nothing_of_what_is_to_come() -> None:
    sound, cup = sine(300), (TIME_S % 0.2 * 5).astype(np.float32)
    whole = acoustic(sound, cup)
    assert whole.tobytes() == acoustic(sound, cup).tobytes()
    assert np.array_equal(acoustic(sound[:9_000], cup[:9_000]), whole[:9_000])
    assert acoustic(sound[:0], cup[:0]).shape == (0,)


def test_bad_samples_are_named() -> None:
    sound, cup = sine(300), np.ones(RATE_HZ, np.float32)
    broken = sound.copy()
    broken[5] = np.nan
    with pytest.raises(CupError, match="cup: a sample of the sound is no finite number"):
        acoustic(broken, cup)
    with pytest.raises(CupError, match="cup: a sample of the hands is no finite number"):
        acoustic(sound, broken)
    with pytest.raises(CupError, match=r"hands of shape \(47999,\) for sound of shape \(48000,\)"):
        acoustic(sound, cup[1:])
