"""What is heard in each recording, and where the tune lies in it."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from reedwright.harp.harp import harp_named
from reedwright.performance.playing import ClickKind
from reedwright.sound.cache import Store
from reedwright.sound.clicks import click_sound
from reedwright.sound.recipe import Placed, placed_mix
from reedwright.sound.recordings import Kind, page_parts, plan
from reedwright.sound.signal import Samples
from tests.sound.tunes import score_of, sources, studio

SCORE = score_of()
SOURCES = sources(SCORE)
STORE = Store(None)
RECORDINGS = {(one.kind, one.lick): one for one in plan(SCORE, stems=True) if not one.part}


def placed(kind: Kind, lick: str = "") -> Placed:
    return placed_mix(RECORDINGS[kind, lick], SOURCES)


def sound(kind: Kind, lick: str = "") -> Samples:
    return placed(kind, lick).mix.sound(STORE)


def loud(samples: Samples) -> float:
    return float(np.sqrt(np.mean(np.square(samples, dtype=np.float64))))


WHOLE = [kind for kind in Kind if (kind, "") in RECORDINGS]


@pytest.mark.parametrize("kind", WHOLE)
def test_whole_recordings_open_with_the_chirp(kind: Kind) -> None:
    heard = sound(kind)
    one = heard if heard.ndim == 1 else heard[:, 0]
    chirp = click_sound(ClickKind.OPENING)
    assert np.abs(one[: len(chirp)] - chirp).max() < 1e-6
    assert placed(kind).opening == 0


@pytest.mark.parametrize("kind", [kind for kind in WHOLE if kind is not Kind.CLICK])
def test_whole_recordings_line_up(kind: Kind) -> None:
    made = placed(kind)
    assert made.mix.samples == SOURCES.take.samples
    assert (made.shift, made.bar_one) == (0, 4 * 14_400)


def test_the_click_track_ends_with_its_last_bar() -> None:
    assert placed(Kind.CLICK).mix.samples == (1 + 8) * 4 * 14_400


def test_demonstration_is_backing_and_harp() -> None:
    harp = SOURCES.acoustic()
    sum_ = sound(Kind.BACKING).copy()
    mono = harp.sound(STORE)[: len(sum_) - harp.start]
    sum_[harp.start : harp.start + len(mono)] += mono[:, None]
    end = len(sum_) - 4_800  # both are faded at their ends
    assert np.abs(sum_ - sound(Kind.DEMONSTRATION))[:end].max() < 1e-5


def test_practice_has_the_harp_left_and_the_band_right() -> None:
    heard = sound(Kind.PRACTICE)
    harp = SOURCES.acoustic()
    after = slice(4 * 14_400, 10 * 14_400)
    left = np.zeros(len(heard), np.float32)
    left[harp.start : harp.start + len(harp.sound(STORE))] = harp.sound(STORE)[: len(left)]
    assert np.abs(heard[after, 0] - left[after]).max() < 1e-6
    assert loud(heard[after, 1]) > 0.01


def test_the_amplified_harp_is_as_loud_as_the_acoustic() -> None:
    levels = [loud(sound(kind)) for kind in (Kind.AMPLIFIED, Kind.DEMONSTRATION)]
    assert 20 * abs(np.log10(levels[0] / levels[1])) < 1.5
    assert not np.allclose(sound(Kind.AMPLIFIED), sound(Kind.DEMONSTRATION), atol=1e-3)


def test_trading_leaves_bars_to_the_student() -> None:
    difference = np.abs(sound(Kind.TRADING) - sound(Kind.BACKING)).max(axis=1)
    bars = difference[4 * 14_400 :]
    heard = [bars[start * 57_600 : (start + 1) * 57_600].max() > 1e-3 for start in range(8)]
    assert heard[:3] == [True, True, True]  # bars 1 to 4 are the harp's
    assert not any(heard[5:])


def test_a_lick_alone_and_over_its_band() -> None:
    alone, band = placed(Kind.LICK, "train"), placed(Kind.LICK_BAND, "train")
    assert alone.mix.mono
    assert not band.mix.mono
    assert alone.bar_one == band.bar_one == 57_600
    assert alone.shift == band.shift == -2 * 57_600  # it stands in bar 3
    heard = alone.mix.sound(STORE)
    assert loud(heard[57_600 - 9_000 : 57_600 - 1_000]) < 1e-3  # between click and lick
    assert loud(heard[57_600 : 57_600 + 9_000]) > 0.01


def test_a_pickup_lies_in_the_count_in() -> None:
    event = next(one for one in SOURCES.take.played.playings if one.timed.event.lick == "Call")
    heard = sound(Kind.LICK, "call")
    at = round(event.played_s * 48_000) + placed(Kind.LICK, "call").shift
    assert 3 * 14_400 - 1_000 < at < 4 * 14_400
    assert loud(heard[at + 2_600 : at + 6_000]) > 0.01


@pytest.mark.parametrize("lick", ["call", "train"])
def test_a_loop_goes_round_without_a_seam(lick: str) -> None:
    made = placed(Kind.LICK_LOOP, lick)
    bars = RECORDINGS[Kind.LICK_LOOP, lick].bars
    assert made.mix.samples == 2 * bars * 57_600
    heard = made.mix.sound(STORE)
    assert len(heard) == made.mix.samples * made.mix.rounds >= 24 * 48_000
    first = heard[: made.mix.samples]
    assert np.array_equal(heard[-made.mix.samples :], first)
    step = np.abs(np.diff(np.concatenate([first, first]), axis=0)).max(axis=1)
    seam = len(first) - 1
    assert step[seam] <= np.abs(np.diff(first, axis=0)).max()


def test_the_answer_has_the_same_band_without_the_harp() -> None:
    made = placed(Kind.LICK_LOOP, "train")
    heard, half = made.mix.sound(STORE), made.mix.samples // 2
    difference = np.abs(heard[:half] - heard[half : 2 * half]).max(axis=1)
    assert difference[2_000:9_000].max() > 0.01  # the harp, in the first half
    assert difference[-2_000:].max() < 0.05
    assert loud(heard[half : 2 * half]) > 0.01


def test_a_loops_pickup_lies_at_its_end() -> None:
    made = placed(Kind.LICK_LOOP, "call")
    heard, beat = made.mix.sound(STORE)[: made.mix.samples], 14_400
    half = made.mix.samples // 2
    before_answer = heard[half - beat : half] - heard[2 * half - beat :]
    assert loud(before_answer) > 0.01  # only the last beat of the whole has the pickup


def test_stems_add_up_to_the_mix() -> None:
    stems = [one for one in plan(SCORE, stems=True) if one.part]
    assert [one.part for one in stems] == [
        "harp", "harp-amplified", "drums", "bass", "guitar", "keys", "click",
    ]  # fmt: skip
    total = np.zeros_like(sound(Kind.DEMONSTRATION))
    for one in stems:
        if one.part not in ("harp-amplified", "click"):
            part = placed_mix(one, SOURCES).mix.sound(STORE)
            total += part if part.ndim == 2 else part[:, None]
    count_in = SOURCES.count_in().sound(STORE)
    total[: len(count_in)] += count_in[:, None]
    assert np.abs(total - sound(Kind.DEMONSTRATION))[:-4_800].max() < 1e-5


def test_what_the_page_plays_adds_up_to_the_demonstration() -> None:
    """Harp and band as they are in the mix, to the sample; the page clicks by itself."""
    parts = [placed_mix(one, SOURCES) for one in page_parts(SCORE)]
    assert [part.opening for part in parts] == [None, None]
    whole = sound(Kind.DEMONSTRATION)
    together = np.zeros_like(whole)
    for part in parts:
        heard = part.mix.sound(STORE)
        together += heard[:, None] if heard.ndim == 1 else heard
    begin = parts[0].bar_one
    assert np.abs(together[begin:] - whole[begin:]).max() < 1e-5


def test_other_harps_and_tempos_have_their_own_sound() -> None:
    harp = harp_named("low D")
    other = plan(SCORE, (Fraction(120),), (harp,))
    names = [one.name for one in other if one.kind is Kind.BACKING]
    assert names == ["audio/backing-120", "audio/backing-120-on-low-d"]


def test_a_tune_without_form_or_sounds() -> None:
    bare = score_of("\nLick A\n1: . . . .\n", "Title: T\nHarp: C\nPosition: 2\nTempo: 200\n")
    made = sources(bare)
    found = plan(bare, stems=True)
    assert [one.name for one in found] == [
        "audio/backing-200",
        "audio/click-200",
        "audio/stem-drums-200",
        "audio/stem-bass-200",
        "audio/stem-click-200",
    ]
    for one in found:
        assert loud(placed_mix(one, made).mix.sound(STORE)) > 1e-3


@pytest.mark.parametrize("tempo_bpm", [20, 400])
def test_the_slowest_and_the_fastest_tempo(tempo_bpm: int) -> None:
    short = score_of("\nLick A\n1: 2d 3d . .\n", "Title: T\nHarp: C\nPosition: 2\nTempo: 90\n")
    for one in plan(short, (Fraction(tempo_bpm),)):
        made = placed_mix(one, studio(short).sources(one.harp, one.tempo_bpm))
        assert np.isfinite(made.mix.sound(STORE)).all()
