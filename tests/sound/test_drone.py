"""The drone follows the form, in tune with the harp, without a click."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from reedwright.harp.harp import harp_named
from reedwright.harp.note import TabNote
from reedwright.harp.temperament import temperament_named
from reedwright.sound.drone import EDGE, Stretch, drone, root_hz, stretches, tone
from reedwright.tune.tokens import parse_sound
from tests.sound.tunes import score_of

C_HARP = harp_named("C")


def note(token: str) -> TabNote:
    return parse_sound(token).notes[0]


def strongest_hz(sound: np.ndarray) -> float:
    """The strongest tone, from a long windowed spectrum with a parabola over its peak."""
    spectrum = np.log(np.abs(np.fft.rfft(sound * np.hanning(len(sound)), 1 << 20)) + 1e-12)
    at = int(np.argmax(spectrum))
    low, middle, high = spectrum[at - 1 : at + 2]
    return (at + 0.5 * (low - high) / (low - 2 * middle + high)) * 48_000 / (1 << 20)


@pytest.mark.parametrize("temperament", ["equal", "7-limit just", "compromise"])
@pytest.mark.parametrize("a4_hz", [440.0, 443.0])
@pytest.mark.parametrize("token", ["2d", "4b", "1d", "5b"])
def test_a_root_is_the_harps_own_note_octaves_away(
    token: str, a4_hz: float, temperament: str
) -> None:
    harp = replace(C_HARP, temperament=temperament_named(temperament), a4_hz=a4_hz)
    ratio = harp.hertz(note(token)) / root_hz(harp.midi(note(token)) % 12, harp)
    assert np.log2(ratio) == pytest.approx(round(np.log2(ratio)), abs=1e-9)


def test_it_sounds_at_its_root() -> None:
    assert strongest_hz(tone(root_hz(9, C_HARP), 96_000)) == pytest.approx(220.0, rel=1e-5)


def test_it_follows_the_form_chords_of_one_root_together() -> None:
    tune = score_of("\nLick A\n1: 2d . . .\n").tune
    tune = replace(tune, form=score_of(head=_head("G7 | Gm | C7 D7 | G7")).tune.form)
    found = stretches(tune, [1, 2, 3, 4, 1], 0.5)
    assert [one.root for one in found] == [7, 0, 2, 7]
    assert [(one.start_s, one.end_s) for one in found] == [(0, 4), (4, 5), (5, 6), (6, 10)]


def test_without_a_form_it_stays_on_the_key() -> None:
    tune = score_of(head="Title: T\nHarp: C\nPosition: 2\nTempo: 120\n").tune
    assert [one.root for one in stretches(tune, [1, 2], 0.5)] == [7]


def test_no_step_at_the_changes_the_start_or_the_end() -> None:
    sound = drone((Stretch(7, 0, 1), Stretch(0, 1, 2), Stretch(2, 2, 2.02)), C_HARP)
    assert len(sound) == round(2.02 * 48_000) + 2 * EDGE
    assert abs(sound[0]) < 1e-3
    assert abs(sound[-1]) < 1e-3
    steady = np.abs(np.diff(sound[24_000:40_000])).max()
    assert np.abs(np.diff(sound)).max() < 2.2 * steady
    level = np.sqrt(np.convolve(sound**2, np.ones(4_800) / 4_800, "valid"))[2 * EDGE : 90_000]
    assert level.max() / level.min() < 1.6


def test_nothing_of_nothing() -> None:
    assert not drone((), C_HARP).any()


def _head(form: str) -> str:
    return f"Title: T\nHarp: C\nPosition: 2\nTempo: 120\nForm: {form}\n"
