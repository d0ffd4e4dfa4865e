"""A SoundFont plays the band in every recording with a band, and in none without."""

from __future__ import annotations

from dataclasses import replace
from importlib.util import find_spec

import numpy as np
import pytest

from reedwright.sound.cache import Store
from reedwright.sound.recipe import placed_mix
from reedwright.sound.recordings import Kind, plan
from reedwright.sound.render import Setup, Studio
from reedwright.sound.take import Font, Manner
from tests.band.test_soundfont import tiny_font
from tests.sound.tunes import score_of

pytestmark = pytest.mark.skipif(
    find_spec("tinysoundfont") is None, reason="tinysoundfont is an optional extra"
)
SCORE = score_of()


def studio(font: Font | None) -> Studio:
    return Studio(SCORE, Setup(Store(None), Manner(font=font)))


def test_only_recordings_with_the_band_sound_otherwise() -> None:
    own, fonted = studio(None), studio(Font("tiny.sf2", tiny_font()))
    one, other = (
        own.sources(SCORE.tune.harp, SCORE.tune.full_tempo_bpm),
        fonted.sources(SCORE.tune.harp, SCORE.tune.full_tempo_bpm),
    )
    for recording in plan(SCORE):
        same = placed_mix(recording, one).mix.key == placed_mix(recording, other).mix.key
        assert same != recording.with_band, recording.name


def test_the_backing_is_what_the_font_plays() -> None:
    """The tiny font knows one sine for everything: most of the power is tonal, and nothing of our
    own drums' noise above 8 kHz is left."""
    backing = next(one for one in plan(SCORE) if one.kind is Kind.BACKING)
    shares = []
    for font in (None, Font("tiny.sf2", tiny_font())):
        mix = studio(font).placed(backing).mix.sound(Store(None)).sum(axis=1)
        power = np.abs(np.fft.rfft(mix)) ** 2
        hertz = np.fft.rfftfreq(len(mix), 1 / 48_000)
        shares.append(power[hertz > 8_000].sum() / power.sum())
    assert shares[1] < shares[0] / 10


def test_another_font_of_the_same_name_is_another_sound() -> None:
    backing = next(one for one in plan(SCORE) if one.kind is Kind.BACKING)
    fonts = [Font("tiny.sf2", tiny_font(level=level)) for level in (0.5, 0.4)]
    keys = {studio(font).placed(backing).mix.key for font in (*fonts, replace(fonts[0]))}
    assert len(keys) == 2
