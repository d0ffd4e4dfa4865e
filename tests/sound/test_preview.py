"""A bar at once: the same music as in the whole, quickly."""

from __future__ import annotations

import numpy as np
import pytest

from reedwright.sound.cache import Store
from reedwright.sound.loudness import integrated_lufs, true_peak_dbtp
from reedwright.sound.preview import FADE, Wish, bars_sound
from tests.sound.tunes import score_of, sources

SOURCES = sources(score_of())
STORE = Store(None)


@pytest.mark.parametrize("first_bar", [0, 2, 5])
def test_it_is_a_cut_of_the_whole(first_bar: int) -> None:
    heard = bars_sound(SOURCES, Wish(first_bar), STORE)
    begin, end = (SOURCES.take.bar_sample(bar) for bar in (first_bar, first_bar + 1))
    assert heard.shape == (end - begin, 2)
    whole = SOURCES.band().sound(STORE).copy()
    harp = SOURCES.acoustic()
    mono = harp.sound(STORE)
    whole[harp.start : harp.start + len(mono)] += mono[: len(whole) - harp.start, None]
    cut = whole[begin:end][:-FADE]
    gain = np.sqrt(np.mean(heard[:-FADE] ** 2) / np.mean(cut**2))
    assert np.abs(heard[:-FADE] - gain * cut).max() < 0.02 * np.abs(heard).max()


@pytest.mark.parametrize("wish", [Wish(0, 2, band=False), Wish(1, amplified=True), Wish(7)])
def test_levels(wish: Wish) -> None:
    heard = bars_sound(SOURCES, wish, STORE)
    assert heard.ndim == 2
    assert integrated_lufs(heard) == pytest.approx(-16, abs=0.5)
    assert true_peak_dbtp(heard) <= -1


def test_a_silent_bar_is_silence() -> None:
    assert not bars_sound(SOURCES, Wish(40, band=False), STORE).any()
