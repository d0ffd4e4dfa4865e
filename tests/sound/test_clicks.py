"""The clicks: at their times, unlike each other, and an opening that is found again."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.signal import correlate

from reedwright.performance.playing import Click, ClickKind
from reedwright.sound.cache import Store
from reedwright.sound.clicks import (
    OPENING_FROM_HZ,
    OPENING_S,
    OPENING_TO_HZ,
    click_line,
    click_sound,
)
from tests.sound.tunes import score_of, sources


def test_clicks_begin_at_the_nearest_sample_and_are_cut_at_the_end() -> None:
    clicks = (Click(ClickKind.BAR, 1, 0.0), Click(ClickKind.BEAT, 2, 0.50001))
    line = click_line(clicks, 24_100)
    bar, beat = click_sound(ClickKind.BAR), click_sound(ClickKind.BEAT)
    assert np.array_equal(line[: len(bar)], bar)
    assert not line[len(bar) : 24_000].any()
    assert np.array_equal(line[24_000:], beat[:100])


@pytest.mark.parametrize("kind", ClickKind)
def test_a_click_starts_and_ends_softly_and_fits_the_fastest_beat(kind: ClickKind) -> None:
    sound = click_sound(kind)
    assert len(sound) < 48_000 * 60 / 400
    assert abs(sound[0]) < 1e-3
    assert abs(sound[-1]) < 1e-3
    assert 0.1 < np.abs(sound).max() <= 0.25


def test_the_opening_is_the_written_formula() -> None:
    sound = click_sound(ClickKind.OPENING)
    assert len(sound) == round(OPENING_S * 48_000)
    for n in (288, 1_000, 2_500):  # where the window is 1
        t = n / 48_000
        turns = OPENING_FROM_HZ * t + (OPENING_TO_HZ - OPENING_FROM_HZ) * t * t / (2 * OPENING_S)
        assert sound[n] == pytest.approx(0.25 * np.sin(2 * np.pi * turns), abs=1e-6)


def test_the_opening_has_a_sharp_autocorrelation() -> None:
    sound = click_sound(ClickKind.OPENING).astype(float)
    found = np.abs(correlate(sound, sound)) / (sound @ sound)
    middle = len(sound) - 1
    assert found[middle] == pytest.approx(1)
    beside = np.concatenate([found[: middle - 24], found[middle + 25 :]])  # half a millisecond
    assert beside.max() < 0.25


def test_no_other_click_resembles_the_opening() -> None:
    opening = click_sound(ClickKind.OPENING).astype(float)
    for kind in ClickKind:
        if kind is not ClickKind.OPENING:
            other = click_sound(kind).astype(float)
            match = np.abs(correlate(opening, other)).max()
            assert match / np.sqrt((opening @ opening) * (other @ other)) < 0.3, kind


def test_the_opening_is_found_at_the_start_of_a_recording_with_band() -> None:
    made = sources(score_of())
    store = Store(None)
    mix = made.band().sound(store)[:, 0].copy()
    clicks = made.count_in().sound(store)
    mix[: len(clicks)] += clicks
    late = np.concatenate([np.zeros(1_234, np.float32), mix])
    match = correlate(late, click_sound(ClickKind.OPENING), mode="valid", method="fft")
    assert int(np.argmax(np.abs(match))) == 1_234
