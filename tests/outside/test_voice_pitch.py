"""The pitch of the voice by trackers that are not ours: librosa's yin and pyin, and swift-f0.

Each is first asked about tones whose pitch is known. yin (de Cheveigné & Kawahara, JASA 111(4),
2002, as librosa does it) is right within 2.5 cents on pure tones, within one on most. swift-f0 is
off by up to some 25 cents on pure tones above 1 kHz, and by several below, so that it is asked how
far the voice is from a tone at the right pitch with the same partials and hiss.
"""

import warnings

import librosa
import numpy as np
import pytest

from reedwright.harp.harp import harp_named
from reedwright.voice.render import render
from reedwright.voice.segments import segments
from tests.voice.builders import played
from tests.voice.grid import FIRST, LAST, MANNERS, segments_of, swift_cents, swift_hz, yin_hz
from tests.voice.measures import SAMPLE_HZ, cents, pitch_hz

EQUAL_HZ = {"1b": 261.626, "2d": 391.995, "4d": 587.330, "6bo": 932.328, "10b": 2093.005}
"""Equal-tempered frequencies at A4 = 440 Hz (ISO 16; any table of them)."""


@pytest.mark.parametrize("hertz", [110.0, 196.0, 440.0, 880.0, 1_500.0, 2_093.0])
def test_the_trackers_themselves_on_pure_tones(hertz: float) -> None:
    tone = np.sin(2 * np.pi * hertz * np.arange(SAMPLE_HZ) / SAMPLE_HZ)
    assert abs(cents(yin_hz(tone, hertz), hertz)) < 2.5
    assert abs(cents(pitch_hz(tone, hertz), hertz)) < 0.1
    if hertz < 1_000:
        assert abs(cents(swift_hz(tone), hertz)) < 8


@pytest.mark.parametrize("manner", MANNERS)
def test_every_note_of_a_harp_is_in_tune(manner: str) -> None:
    harp = harp_named("Bb")
    by_yin, by_swift = [], []
    for note, segment in segments_of(harp, manner):
        sound, hertz = render(segment)[FIRST:LAST], harp.hertz(note)
        by_yin.append(abs(cents(yin_hz(sound, hertz), hertz)))
        if hertz < 2_000:
            by_swift.append(abs(swift_cents(sound, hertz)))
    for errors in (by_yin, by_swift):
        assert np.median(errors) <= 2
        assert np.percentile(errors, 90) <= 5


@pytest.mark.parametrize(("tab", "hertz"), EQUAL_HZ.items())
def test_notes_of_a_c_harp_against_a_table_of_frequencies(tab: str, hertz: float) -> None:
    harp = harp_named("C")
    found = {str(note): segment for note, segment in segments_of(harp, "medium")}
    assert abs(cents(yin_hz(render(found[tab])[FIRST:LAST], hertz), hertz)) < 2


@pytest.mark.parametrize(
    ("bars", "first", "last"),
    [("1: 3d 3d''' . .", 493.883, 415.305), ("1: 10b 10b'' . .", 2093.005, 1864.655)],
)
def test_a_bend_on_one_breath_glides_without_a_turn(bars: str, first: float, last: float) -> None:
    """pyin's track of a slurred bend falls from one note to the other and never turns back."""
    (segment,) = segments(played(bars, tempo=60))
    sound = render(segment).astype(float)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        track, _, _ = librosa.pyin(
            sound,
            fmin=0.85 * last,
            fmax=1.15 * first,
            sr=SAMPLE_HZ,
            frame_length=2_048,
            hop_length=256,
            resolution=0.02,
        )
    middle = track[40:-20]
    assert np.isfinite(middle).all()
    fall = 1200 * np.log2(middle / first)
    assert np.median(fall[:20]) == pytest.approx(0, abs=5)
    assert np.median(fall[-20:]) == pytest.approx(cents(last, first), abs=5)
    assert np.diff(fall).max() <= 6  # three of pyin's steps of 2 cents
