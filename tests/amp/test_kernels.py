"""The number loops against scipy, which does the same more slowly, and against calculus."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.signal import butter, firwin, lfilter, sosfilt, upfirdn

from reedwright.amp.finite import RATE_HZ
from reedwright.amp.kernels import cascade, shape, tone
from reedwright.amp.oversample import DELAY, FACTOR, PASS_HZ, Down, Up, taps
from reedwright.amp.valves import resting

RNG = np.random.default_rng(1)
NOISE = RNG.standard_normal(3_000)


def test_sections_filter_as_scipy_does() -> None:
    sections = np.vstack([butter(4, 5000, fs=RATE_HZ, output="sos"), butter(1, 0.1, output="sos")])
    assert cascade(NOISE, sections, np.zeros((3, 2))) == pytest.approx(sosfilt(sections, NOISE))


def whole_filter() -> np.ndarray:
    return firwin(241, 19_000, window=("kaiser", 9.6), fs=8 * RATE_HZ)


@pytest.mark.parametrize("block", [1, 7, 512, 3_000])
def test_up_and_down_as_scipy_in_any_blocks(block: int) -> None:
    up, down, fast, plain = Up(), Down(), [], []
    for start in range(0, len(NOISE), block):
        phases = up(NOISE[start : start + block])
        fast.append(phases.T.ravel())
        plain.append(down(phases))
    raised = upfirdn(8 * whole_filter(), NOISE, up=8)[: 8 * len(NOISE)]
    lowered = upfirdn(whole_filter(), raised, down=8)[: len(NOISE)]
    assert np.concatenate(fast) == pytest.approx(raised, abs=1e-12)
    assert np.concatenate(plain) == pytest.approx(lowered, abs=1e-12)


def test_the_filter_keeps_its_promises() -> None:
    response = np.abs(np.fft.rfft(taps().T.ravel(), 1 << 16))
    hz = np.fft.rfftfreq(1 << 16, 1 / (FACTOR * RATE_HZ))
    assert np.abs(response[hz <= PASS_HZ] - 1).max() < 1e-4
    assert 20 * np.log10(response[hz >= RATE_HZ / 2].max()) < -90


def test_a_click_comes_back_where_it_was() -> None:
    click = np.zeros(200)
    click[50] = 1.0
    assert int(np.argmax(Down()(Up()(click)))) == 50 + DELAY


@pytest.mark.parametrize("bias", [-0.3, 0.0, 0.1])
def test_shape_is_the_mean_of_the_curve_between_two_values(bias: float) -> None:
    """The mean by numerical integration (scipy.quad) of x / sqrt(1 + x²), scaled as documented."""
    given = RNG.uniform(-5, 5, (4, 3))
    phases = given.copy()
    shape(phases, 3.0, np.array([1.0, 2.0, 0.5]), bias, resting(bias))
    before = bias
    slope = (1 + bias * bias) ** 1.5
    for n, drive in enumerate((1.0, 2.0, 0.5)):
        for p in range(4):
            now = 3 * given[p, n] * drive + bias
            mean = quad(lambda x: x / np.sqrt(1 + x * x), before, now)[0] / (now - before)
            wanted = (mean - bias / np.sqrt(1 + bias * bias)) * slope / drive
            assert phases[p, n] == pytest.approx(wanted, abs=1e-9)
            before = now


def test_shape_leaves_silence_silent_and_small_sounds_as_they_are() -> None:
    phases = np.zeros((8, 50))
    shape(phases, 1.0, np.full(50, 3.0), 0.2, resting(0.2))
    assert np.abs(phases).max() < 1e-15
    phases = np.full((8, 50), 1e-6)
    shape(phases, 1.0, np.full(50, 1.0), 0.2, resting(0.2))
    assert phases[1:] == pytest.approx(1e-6, rel=1e-4)


def test_tone_as_scipy_does_it_pole_by_pole() -> None:
    high, stray, bass, more, treble, less = coefficients = np.array(
        [0.001, 0.3, 0.01, 0.5, 0.05, -0.4]
    )
    phases = RNG.standard_normal((8, 400))
    line = phases.T.ravel()
    tone(phases, coefficients, np.zeros(4))

    def pole(x: np.ndarray, a: float) -> np.ndarray:
        return lfilter([a], [1, a - 1], x)

    line = pole(line - pole(line, high), stray)
    wanted = line + more * pole(line, bass) + less * (line - pole(line, treble))
    assert phases.T.ravel() == pytest.approx(wanted, abs=1e-9)
