"""The whole way: shape, level, alignment, sameness, and bad samples."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from reedwright.amp.chain import BLOCK, CEILING, amplified
from reedwright.amp.finite import SignalError
from reedwright.amp.prepare import prepare
from reedwright.amp.read import default_rig
from tests.amp.signals import CLOSED, OPEN, RATE_HZ, hands, reed, sines, without_room

RIG = default_rig()
WET = replace(
    RIG,
    echo=replace(RIG.echo, share_percent=60.0, repeat_percent=50.0),
    spring=replace(RIG.spring, share_percent=60.0),
    tremolo=replace(RIG.tremolo, depth_percent=50.0),
)


@pytest.mark.parametrize("samples", [0, 1, 29, BLOCK - 30, BLOCK, 3 * BLOCK + 5])
@pytest.mark.parametrize("rig", [RIG, WET], ids=["plain", "wet"])
def test_as_long_as_it_was(samples: int, rig: object) -> None:
    sound = reed(300)[:samples]
    out = amplified(sound, hands(sound, OPEN), rig)  # type: ignore[arg-type]
    assert out.shape == (samples,)
    assert out.dtype == np.float32
    assert np.isfinite(out).all()


def test_the_same_sound_gives_the_same_samples() -> None:
    sound = reed(300)
    first, second = (amplified(sound, hands(sound, CLOSED), WET) for _ in range(2))
    assert first.tobytes() == second.tobytes()


def test_what_comes_later_changes_nothing_before() -> None:
    """A longer take begins as the shorter one: blocks have no seams, nothing looks ahead further
    than the filter of the oversampling."""
    sound = reed(300)
    short = amplified(sound[:20_000], hands(sound[:20_000], CLOSED), without_room())
    long = amplified(sound, hands(sound, CLOSED), without_room())
    assert np.abs(short[:19_900] - long[:19_900]).max() < 1e-6


def test_in_step_with_the_harp() -> None:
    """A click comes out where it went in, but for the 1 ms a low-pass needs."""
    click = np.zeros(4_000, np.float32)
    click[1_000] = 0.5
    out = np.abs(amplified(click, hands(click, OPEN), without_room()))
    assert out[:990].max() < 1e-5
    assert 1_000 <= int(np.argmax(out)) <= 1_000 + RATE_HZ // 1_000


LOUDEST = {
    "square 110": np.sign(sines(110)),
    "square 800": np.sign(sines(800)),
    "chord": np.clip(10 * sines(196, 247, 293, 392), -1, 1),
    "noise": np.sign(np.random.default_rng(1).standard_normal(RATE_HZ)).astype(np.float32),
    "beyond full scale": 50 * sines(300),
}


@pytest.mark.parametrize("sound", LOUDEST.values(), ids=LOUDEST)
@pytest.mark.parametrize("openness", [OPEN, CLOSED])
def test_the_loudest_stays_below_full_scale(sound: np.ndarray, openness: float) -> None:
    """The default rig by itself (0.85 leaves the ceiling out of it), a wet one by being turned
    down."""
    assert np.abs(amplified(sound, hands(sound, openness), RIG)).max() < 0.85
    assert np.abs(amplified(sound, hands(sound, openness), WET)).max() <= CEILING


def test_levels_are_sane() -> None:
    """A medium note, hands closed: between -26 and -14 dBFS RMS; silence stays silent."""
    note = reed(392)
    level = 20 * np.log10(np.std(amplified(note, hands(note, CLOSED), RIG)[RATE_HZ // 4 :]))
    assert -26 < level < -14
    silence = np.zeros(RATE_HZ, np.float32)
    assert np.abs(amplified(silence, hands(silence, CLOSED), WET)).max() < 1e-9


def test_bad_samples_name_the_stage() -> None:
    note = reed(392)[:1_000]
    broken = note.copy()
    broken[17] = np.nan
    with pytest.raises(SignalError, match=r"^amplifier, input: sample 17 is no finite number\.$"):
        amplified(broken, hands(note, OPEN), RIG)
    with pytest.raises(SignalError, match=r"^amplifier, cup: sample 17 is no finite number\.$"):
        amplified(note, broken, RIG)
    with pytest.raises(SignalError, match="999 samples of hands for 1000 of sound"):
        amplified(note, hands(note[1:], OPEN), RIG)
    with pytest.raises(SignalError, match=r"an array of shape \(1000, 2\), not of one channel"):
        amplified(np.zeros((1000, 2), np.float32), hands(note, OPEN), RIG)


def test_infinity_is_found_too() -> None:
    note = reed(392)[:1_000]
    note[3] = np.inf
    with pytest.raises(SignalError, match="sample 3 is no finite"):
        amplified(note, hands(note, OPEN), RIG)


def test_prepare_compiles_every_kernel() -> None:
    from reedwright.amp import kernels

    prepare()
    for name in ("hands", "cascade", "upsample", "downsample", "shape", "tone", "load", "swing"):
        assert getattr(kernels, name).signatures, name
