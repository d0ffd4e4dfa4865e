"""Measures of a sound that are not the voice's own: pitch, attack, level, colour, steps.

Conventions: 48 kHz, hertz, cents, milliseconds, dBFS. Pitch by autocorrelation of the whole window
(textbook: the power spectrum's transform, a parabola through the peak, counted over as many periods
as fit, so that a cent is far above its own error).
"""

import numpy as np
from scipy.signal import butter, sosfilt

SAMPLE_HZ = 48_000


def pitch_hz(sound: np.ndarray, near_hz: float, periods: int = 8) -> float:
    """Pitch near an expected one (within a whole tone), from the lag of so many periods."""
    size = 1 << int(2 * len(sound) - 1).bit_length()
    power = np.abs(np.fft.rfft(sound * np.hanning(len(sound)), size)) ** 2
    lags = np.fft.irfft(power)
    found = near_hz
    for count in (1, max(1, periods // 2), periods):
        middle = count * SAMPLE_HZ / found
        spread = SAMPLE_HZ / near_hz * (0.12 if count == 1 else 0.35)
        low = max(1, int(middle - spread))
        peak = low + int(np.argmax(lags[low : int(middle + spread) + 2]))
        left, top, right = lags[peak - 1 : peak + 2]
        bend = left - 2 * top + right
        found = SAMPLE_HZ * count / (peak + (0.5 * (left - right) / bend if bend else 0.0))
    return found


def cents(hertz: float, target_hz: float) -> float:
    return float(1200 * np.log2(hertz / target_hz))


def rms_line(sound: np.ndarray, width: int) -> np.ndarray:
    """Running RMS over so many samples, the window ending at each sample."""
    total = np.concatenate([np.zeros(width), np.cumsum(np.asarray(sound, dtype=float) ** 2)])
    return np.sqrt(np.maximum(total[width:] - total[:-width], 0) / width)


def attack_ms(sound: np.ndarray, hertz: float, start: int, end: int) -> float:
    """From the first sample to 80 % of the steady level (median of `start` to `end`).

    RMS over two periods, taken at the middle of its window.
    """
    width = max(96, round(2 * SAMPLE_HZ / hertz))
    line = rms_line(sound, width)
    steady = float(np.median(line[start:end]))
    return (int(np.argmax(line > 0.8 * steady)) - width / 2) * 1000 / SAMPLE_HZ


def dbfs(sound: np.ndarray) -> float:
    rms = float(np.sqrt(np.mean(np.asarray(sound, dtype=float) ** 2)))
    return float(20 * np.log10(max(rms, 1e-9)))


def centroid_hz(sound: np.ndarray) -> float:
    """Mean frequency, weighed by power (so that hiss between the partials does not count)."""
    spectrum = np.abs(np.fft.rfft(sound * np.hanning(len(sound)))) ** 2
    hertz = np.fft.rfftfreq(len(sound), 1 / SAMPLE_HZ)
    return float((hertz * spectrum).sum() / spectrum.sum())


def edge_step_dbfs(sound: np.ndarray) -> float:
    """The step at either end of a sound that stands in silence."""
    step = max(abs(float(sound[0])), abs(float(sound[-1])))
    return float(20 * np.log10(max(step, 1e-9)))


def edge_click_dbfs(sound: np.ndarray) -> float:
    """The click at either end of a sound that stands in silence: the larger of the step into
    silence, and of what the first and last 5 ms have above 12 kHz beyond what the rest has there
    (a step of that height would show as much). For sounds of a fifth of a second or more."""
    size = SAMPLE_HZ // 200
    step = max(abs(float(sound[0])), abs(float(sound[-1])))
    spiky = np.abs(sosfilt(_TOP, np.concatenate([np.zeros(size), sound, np.zeros(size)])))
    edges = np.concatenate([spiky[: 2 * size], spiky[-2 * size :]])
    own = float(spiky[2 * size : -2 * size].max()) if len(spiky) > 5 * size else 0.0
    burst = max(0.0, float(edges.max()) - own) / _TOP_OF_STEP
    return float(20 * np.log10(max(step, burst, 1e-9)))


_TOP = butter(4, 12_000, "highpass", fs=SAMPLE_HZ, output="sos")
_TOP_OF_STEP = float(np.abs(sosfilt(_TOP, np.ones(500))).max())
