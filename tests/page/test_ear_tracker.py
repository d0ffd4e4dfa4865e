"""The tracker in node: pure tones over the range of the harps, and what is no single note.

The oracle for a tone is the frequency it was made with; our own voice is held against outside
trackers in tests/outside/test_ear_pitch.py.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.page.ear_node import NODE, kept, node, tracked

pytestmark = pytest.mark.skipif(NODE is None, reason="node is not installed")

RATES = (44_100, 48_000)
G2, G7 = 43, 103  # MIDI: the range the page promises
LEAST_CENTS = 2.0  # of a steady tone in every frame; the promise is 5


def tone(
    hertz: float, rate_hz: int, parts: dict[int, float], length_s: float = 0.3
) -> NDArray[np.float64]:
    """Partials with their amplitudes, each with a phase of its own."""
    time_s = np.arange(round(length_s * rate_hz)) / rate_hz
    heard = {n: a for n, a in parts.items() if n * hertz < 0.45 * rate_hz}
    return 0.15 * np.sum(
        [a * np.sin(2 * np.pi * n * hertz * time_s + n) for n, a in heard.items()], axis=0
    )


SHAPES = {
    "pure": {1: 1.0},
    "bright": {n: 1 / n for n in range(1, 16)},
    "strong second": {1: 0.15, 2: 1.0, 3: 0.1, 4: 0.3},
}


@pytest.mark.parametrize("rate_hz", RATES)
@pytest.mark.parametrize("shape", SHAPES)
def test_every_tone_of_the_range_within_two_cents_and_in_its_octave(
    tmp_path: Path, rate_hz: int, shape: str
) -> None:
    wanted = [440 * 2 ** ((midi + 0.13 - 69) / 12) for midi in range(G2, G7 + 1)]
    paths = [
        kept(tmp_path, str(i), tone(hertz, rate_hz, SHAPES[shape]))
        for i, hertz in enumerate(wanted)
    ]
    for hertz, readings in zip(wanted, tracked(paths, rate_hz), strict=True):
        steady = readings[2:]
        assert len(steady) > 5
        assert {one["state"] for one in steady} == {"note"}, hertz
        off = [abs(1200 * np.log2(one["hertz"] / hertz)) for one in steady]
        assert max(off) < LEAST_CENTS, hertz


def test_a_pitch_between_two_notes_is_not_drawn_to_either(tmp_path: Path) -> None:
    path = kept(tmp_path, "between", tone(440 * 2 ** (50 / 1200), 48_000, SHAPES["bright"]))
    [readings] = tracked([path], 48_000)
    off = [1200 * np.log2(one["hertz"] / 440) for one in readings[2:]]
    assert np.median(off) == pytest.approx(50, abs=0.5)


def test_silence_noise_and_chords_are_no_note(tmp_path: Path) -> None:
    chance = np.random.default_rng(7)
    g4, d4 = (tone(hertz, 48_000, SHAPES["bright"], 0.6) for hertz in (392.0, 293.66))
    c6, e6 = (tone(hertz, 48_000, SHAPES["bright"], 0.6) for hertz in (1046.5, 1318.5))
    sounds = {
        "silent": np.zeros(30_000),
        "noise": chance.normal(0, 0.1, 30_000),
        "fourth": g4 + d4,
        "high third": c6 + e6,
    }
    paths = [kept(tmp_path, name, sound) for name, sound in sounds.items()]
    found = [
        {one["state"] for one in readings[2:]}
        for readings in tracked(paths, 48_000, {"low_hz": 240})
    ]
    assert found[0] == {"silent"}
    assert found[1:] == [{"unclear"}] * 3


def test_samples_that_are_not_numbers_and_blocks_of_any_length(tmp_path: Path) -> None:
    sound = tone(440, 48_000, SHAPES["bright"])
    whole = kept(tmp_path, "whole", sound)
    sound[5] = np.nan
    spoilt = kept(tmp_path, "spoilt", sound)
    body = (
        "const x = sound(given[0]), t = new m.Tracker(48000), found = [];"
        "for (let i = 0; i < x.length; i += 128) found.push(...t.push(x.subarray(i, i + 128)));"
        "return [m.track(x, 48000), found, m.track(sound(given[1]), 48000)];"
    )
    at_once, by_blocks, with_nan = node("tracker.js", body, [whole, spoilt])
    assert at_once == by_blocks
    assert with_nan[-1]["hertz"] == pytest.approx(440, rel=1e-4)
