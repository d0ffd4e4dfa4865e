"""Mixes: who stands where, what goes round, what is mono."""

from __future__ import annotations

import numpy as np
import pytest

from reedwright.sound.cache import Store
from reedwright.sound.mixes import LEFT, MIDDLE, RIGHT, Mix, Source, even_gain
from reedwright.sound.signal import Samples, SoundError

STORE = Store(None)


def ones(samples: int, channels: int = 1, value: float = 1.0) -> Samples:
    shape = (samples,) if channels == 1 else (samples, channels)
    return np.full(shape, value, np.float32)


def source(
    sound: Samples, start: int = 0, sides: tuple[float, float] = MIDDLE, *, fold: bool = False
) -> Source:
    key = f"{sound.shape}{start}"
    return Source(key, lambda _: sound, start, sides, stereo=sound.ndim == 2, fold=fold)


def test_one_channel_in_the_middle_is_mono() -> None:
    sound = Mix(5, (source(ones(2), 1), source(ones(2), 2))).sound(STORE)
    assert sound.tolist() == [0, 1, 2, 1, 0]


def test_sides() -> None:
    band = source(np.array([[1, 3]], np.float32), sides=RIGHT, fold=True)
    sound = Mix(1, (source(ones(1), sides=LEFT), band)).sound(STORE)
    assert sound.tolist() == [[1, 2]]


def test_what_passes_the_ends_is_cut() -> None:
    assert Mix(3, (source(ones(9), -2),)).sound(STORE).tolist() == [1, 1, 1]
    assert Mix(3, (source(ones(2), -2), source(ones(2), 3))).sound(STORE).tolist() == [0, 0, 0]


@pytest.mark.parametrize("start", [-7, -1, 0, 2, 4])
def test_what_passes_an_end_comes_in_at_the_other(start: int) -> None:
    sound = Mix(5, (source(np.arange(1, 8, dtype=np.float32), start),), round_trip=True)
    expected = np.zeros(5)
    for at, value in enumerate(range(1, 8), start):
        expected[at % 5] += value
    assert sound.sound(STORE).tolist() == expected.tolist()


def test_rounds_and_fade() -> None:
    assert Mix(2, (source(ones(1)),), rounds=3).sound(STORE).tolist() == [1, 0] * 3
    assert Mix(4, (source(ones(4, 2)),), fade=2).sound(STORE)[:, 1].tolist() == [1, 1, 1, 0]


def test_nothing_at_all() -> None:
    assert Mix(3, ()).sound(STORE).tolist() == [0, 0, 0]


def test_the_key_says_all_that_shapes_the_mix() -> None:
    one = source(ones(3))
    mixes = [
        Mix(3, (one,)), Mix(4, (one,)), Mix(3, (one, one)), Mix(3, (one,), round_trip=True),
        Mix(3, (one,), rounds=2), Mix(3, (one,), fade=1), Mix(3, (source(ones(3), 1),)),
        Mix(3, (source(ones(3), sides=LEFT),)),
    ]  # fmt: skip
    assert len({mix.key for mix in mixes}) == len(mixes)
    assert Mix(3, (source(ones(3)),)).key == mixes[0].key


def test_a_source_that_gives_no_numbers_is_named() -> None:
    with pytest.raises(SoundError, match="stage `mix`: sample 1"):
        Mix(3, (source(ones(2, value=np.nan), 1),)).sound(STORE)


def test_even_gain_is_bounded_and_leaves_silence_alone() -> None:
    assert even_gain(-20, -14, 24) == pytest.approx(10 ** (6 / 20))
    assert even_gain(-90, -10, 24) == pytest.approx(10 ** (24 / 20))
    assert even_gain(-np.inf, -10, 24) == 1
