"""The band as sound: in time, cut where it should be, the same again, any span as in the whole.

Source of the bounds: ours (docs/band-sounds.md); swing at 2:1 is common practice, no source.
"""

from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest

from reedwright.band.instruments.note import Notes
from reedwright.band.instruments.values import RATE_HZ, RINGS_OUT
from reedwright.band.play import RING_S, band_stems, bar_span, track_samples
from reedwright.band.prepare import prepare
from reedwright.band.strokes import STRUM_S, Stroke, instrument_of, strokes
from reedwright.band.values import BandNote, Keys, Part
from reedwright.errors import SettingError
from tests.band.by_hand import HALF, arrangement, note, played, score, shuffle

UNDER = score()
PERFORMANCE = played(UNDER)
COUNT_IN_S = float(PERFORMANCE.count_in_beats * 60 / PERFORMANCE.tempo_bpm)
BEAT_S = float(60 / PERFORMANCE.tempo_bpm)


def made(part: Part, notes: list[BandNote], *, human: float = 0.0) -> list[Stroke]:
    return list(strokes(arrangement(UNDER, {part: notes}), PERFORMANCE, part, human=human))


def test_every_part_is_there_silent_through_the_count_in_and_whole() -> None:
    band = shuffle(UNDER, bars=2)
    stems = band_stems(band, PERFORMANCE)
    assert list(stems) == ["drums", "bass", "guitar", "keys"]
    for stem in stems.values():
        assert stem.dtype == np.float32
        assert stem.shape == (track_samples(band, PERFORMANCE), 2)
        assert np.isfinite(stem).all()
        assert not stem[: int((COUNT_IN_S - 0.01) * RATE_HZ)].any()
        assert np.abs(stem).max() < 1.0


def test_the_track_is_as_long_as_tune_or_band() -> None:
    tune_long = track_samples(shuffle(UNDER, bars=2), PERFORMANCE)
    assert tune_long == int(np.ceil(PERFORMANCE.length_s * RATE_HZ))
    ending = track_samples(shuffle(UNDER, bars=14), PERFORMANCE)
    assert ending == pytest.approx((COUNT_IN_S + 56 * BEAT_S + RING_S) * RATE_HZ, abs=1)


def test_after_the_track_nothing_loud_is_cut_off() -> None:
    stems = band_stems(shuffle(UNDER, bars=14), PERFORMANCE)
    for stem in stems.values():
        assert np.abs(stem[-RATE_HZ // 20 :]).max() < 0.01 * np.abs(stem).max()


def test_the_same_tune_gives_the_same_track() -> None:
    band = shuffle(UNDER, bars=2)
    first, again = (band_stems(band, PERFORMANCE, notes=Notes()) for _ in range(2))
    assert all(np.array_equal(first[part], again[part]) for part in first)


def test_a_span_sounds_as_in_the_whole() -> None:
    band = shuffle(UNDER, bars=4)
    whole = band_stems(band, PERFORMANCE)
    for first, last in (bar_span(band, PERFORMANCE, 2, 2), (50_000, 333_333), (0, 10)):
        span = band_stems(band, PERFORMANCE, span=(first, last))
        assert all(np.array_equal(whole[part][first:last], span[part]) for part in whole)


def test_bars_lie_where_the_performance_has_them() -> None:
    first, end = bar_span(shuffle(UNDER), PERFORMANCE, 1, 2)
    assert first == round((COUNT_IN_S + 4 * BEAT_S) * RATE_HZ)
    assert end == round((COUNT_IN_S + 12 * BEAT_S) * RATE_HZ)


def test_a_span_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="no span from sample 10 to 9"):
        band_stems(shuffle(UNDER, bars=1), PERFORMANCE, span=(10, 9))


def test_one_edit_changes_nothing_outside_its_bar() -> None:
    band = shuffle(UNDER, bars=4)
    bass = list(band.notes[Part.BASS])
    at = next(place for place, one in enumerate(bass) if one.start == 9)
    bass[at] = note(Part.BASS, 9, 38)
    before, after = (
        made(Part.BASS, list(notes), human=1.0) for notes in (band.notes[Part.BASS], bass)
    )
    changed = [
        bass[place].bar
        for place, (old, new) in enumerate(zip(before, after, strict=True))
        if old != new
    ]
    assert set(changed) == {bass[at].bar}


def test_half_beats_swing_as_the_tune_does() -> None:
    drums = [note(Part.DRUMS, 0, 51), note(Part.DRUMS, HALF, 51, HALF), note(Part.DRUMS, 1, 51)]
    onsets = [stroke.played_s for stroke in made(Part.DRUMS, drums)]
    exact = [COUNT_IN_S + BEAT_S * float(beat) for beat in (0, Fraction(2, 3), 1)]
    assert onsets == pytest.approx(exact, abs=1e-9)


def test_human_timing_is_small_and_can_be_left_out() -> None:
    band = shuffle(UNDER)
    for part in (Part.DRUMS, Part.BASS, Part.KEYS):
        exact, loose = (
            [stroke.played_s for stroke in strokes(band, PERFORMANCE, part, human=human)]
            for human in (0.0, 1.0)
        )
        off = np.abs(np.array(exact) - np.array(loose))
        assert 0.0005 < off.max() < 0.0125


def test_a_bass_has_one_note_at_a_time() -> None:
    low, high = made(Part.BASS, [note(Part.BASS, 0, 40, 4), note(Part.BASS, 1, 43)])
    assert low.length_s == pytest.approx(BEAT_S, abs=0.006)
    assert high.length_s == pytest.approx(BEAT_S, abs=0.006)


def test_a_guitar_chord_is_strummed_and_cut_by_the_next() -> None:
    first = [note(Part.GUITAR, 0, midi, 4) for midi in (64, 56, 60)]
    off = [note(Part.GUITAR, Fraction(3, 2), midi, HALF) for midi in (64, 56, 60)]
    heard = made(Part.GUITAR, first + off)
    down = {stroke.key.midi: stroke.played_s for stroke in heard[:3]}
    up = {stroke.key.midi: stroke.played_s for stroke in heard[3:]}
    assert [down[midi] - COUNT_IN_S for midi in (56, 60, 64)] == pytest.approx(
        [0, STRUM_S, 2 * STRUM_S]
    )
    assert up[64] < up[60] < up[56]
    lengths = {stroke.length_s for stroke in heard[:3]}
    assert [*lengths] == [pytest.approx((1 + 2 / 3) * BEAT_S, abs=0.006)]


def test_a_key_struck_again_ends_the_first_alone() -> None:
    heard = made(
        Part.KEYS, [note(Part.KEYS, 0, 60, 4), note(Part.KEYS, 0, 64, 4), note(Part.KEYS, 2, 60)]
    )
    lengths = {(stroke.key.midi, round(stroke.length_s / BEAT_S, 1)) for stroke in heard}
    assert lengths == {(60, 2.0), (64, 4.0), (60, 1.0)}


def test_the_hat_is_choked_and_the_ride_is_not() -> None:
    drums = [
        note(Part.DRUMS, 0, 46),
        note(Part.DRUMS, 1, 44),
        note(Part.DRUMS, 0, 51),
        note(Part.DRUMS, 1, 51),
    ]
    lengths = [
        (stroke.key.midi, stroke.length_s)
        for stroke in made(Part.DRUMS, sorted(drums, key=lambda one: one.start))
    ]
    assert lengths == [
        (46, pytest.approx(BEAT_S, abs=0.006)),
        (51, RINGS_OUT),
        (44, RINGS_OUT),
        (51, RINGS_OUT),
    ]


def test_no_stroke_is_its_neighbours_twin() -> None:
    drums = [note(Part.DRUMS, Fraction(at, 2), 42, HALF) for at in range(8)]
    variants = [stroke.key.variant for stroke in made(Part.DRUMS, drums)]
    assert all(a != b for a, b in pairwise(variants))
    assert len(set(variants)) == 3


def test_the_bass_follows_the_style_and_the_keys_the_arrangement() -> None:
    assert instrument_of(shuffle(UNDER, style="train"), Part.BASS) == "upright"
    assert instrument_of(shuffle(UNDER, style="rumba"), Part.BASS) == "electric-bass"
    assert instrument_of(shuffle(UNDER, keys=Keys.PIANO), Part.KEYS) == "piano"


def test_a_drum_that_is_not_in_the_kit_is_named() -> None:
    with pytest.raises(SettingError) as caught:
        made(Part.DRUMS, [note(Part.DRUMS, 0, 20), note(Part.DRUMS, 1, 99)])
    assert str(caught.value) == (
        "percussion key 20, 99 in the band's drums. The kit answers to General MIDI keys 35 to 82. "
        "Mend: choose keys in that range in the band's rules."
    )


def test_preparing_compiles_all_loops() -> None:
    prepare()
    band = shuffle(UNDER, bars=1, keys=Keys.PIANO, style="straight")
    assert set(band_stems(band, PERFORMANCE)) == {part.value for part in Part}
