"""How segments sound: level, pitch, attack, glides, edges; and that nothing is ever silent."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import reedwright.voice.render as rendering
from reedwright.harp.harp import harp_named
from reedwright.performance.perform import perform
from reedwright.performance.play import play
from reedwright.performance.playing import level
from reedwright.tune.place import place
from reedwright.tune.read import read_tune
from reedwright.voice.prepare import prepare
from reedwright.voice.render import checked, render, sound_of
from reedwright.voice.segments import segments
from reedwright.voice.stem import add, voice_stem
from reedwright.voice.values import SAMPLE_HZ, Hole, HoleLine, Segment
from tests.strategies import playable_sounds, tunes_as_written
from tests.voice.builders import held, played
from tests.voice.grid import FIRST, LAST, every, seams, stand_in
from tests.voice.measures import (
    centroid_hz,
    cents,
    dbfs,
    edge_click_dbfs,
    edge_step_dbfs,
    pitch_hz,
    rms_line,
)

TEN_MS = SAMPLE_HZ // 100


@pytest.fixture(scope="module", autouse=True)
def _compiled() -> None:
    prepare()


@pytest.fixture(scope="module")
def sample() -> list:
    """A part of the grid: a low and a high harp at the middle loudness."""
    return list(every(("G", "F#"), ("medium",)))


def test_natural_notes_and_draw_bends_start_in_the_model(sample: list) -> None:
    judged = [n for n in sample if n.note.hole <= 6 and not n.note.over]
    assert len(judged) == 2 * (12 + 8)
    assert np.mean([note.started for note in judged]) >= 0.95


def test_the_pitch_after_the_attack(sample: list) -> None:
    off = [abs(note.off_cents) for note in sample]
    assert np.median(off) <= 2
    assert np.percentile(off, 90) <= 5


def test_attacks_and_edges(sample: list) -> None:
    assert all(10 <= note.attack_ms <= 60 for note in sample)
    assert all(note.edge_dbfs < -50 for note in sample)


@pytest.mark.parametrize(("manner", "dbfs"), [("soft", -28), ("medium", -20), ("loud", -13)])
def test_levels_of_loudness_are_alike_across_the_harp(manner: str, dbfs: float) -> None:
    for note in every(("C",), (manner,)):
        assert note.level_dbfs == pytest.approx(dbfs, abs=2), note


def test_louder_is_brighter() -> None:
    soft, loud = (
        centroid_hz(render(segments(held(["4d"], manner=manner))[0])[FIRST:LAST])
        for manner in ("soft", "loud")
    )
    assert loud > 1.15 * soft


def test_no_seam_between_model_and_wavetable() -> None:
    for ratio, difference_db in seams(("A",), ("medium",)):
        assert 1 / 1.2 < ratio < 1.2
        assert abs(difference_db) < 1.5


def test_a_glide_passes_through_every_pitch_between() -> None:
    """Down three semitones on one breath: the pitch of 40 ms windows never turns back."""
    (segment,) = segments(played("1: 3d 3d''' . .", tempo=60))
    sound, line = render(segment), segment.lines[0]
    width, tracked = SAMPLE_HZ // 25, []
    for start in range(9_600, len(sound) - width - 4_800, 240):
        target = line.cents.at((start + width / 2) / SAMPLE_HZ)
        near_hz = line.hole.closing_hz * 2 ** (target / 1200)
        found_hz = pitch_hz(sound[start : start + width], near_hz, 4)
        tracked.append(cents(found_hz, line.hole.closing_hz))
    assert line.modelled
    assert tracked[0] == pytest.approx(0, abs=5)
    assert tracked[-1] == pytest.approx(-300, abs=5)
    assert max(np.diff(tracked)) < 4  # it never turns back
    assert sum(-280 < value < -20 for value in tracked) >= 8  # and is on its way for a while


def segments_notes(*names: str) -> list:
    from reedwright.harp.note import parse_note

    return [parse_note(name) for name in names]


@pytest.mark.parametrize("note", ["2d'", "2d''", "3d'", "3d''", "3d'''", "4d'", "8b'", "10b''"])
def test_bends_end_inside_the_two_notes_of_the_hole(note: str) -> None:
    harp = harp_named("C")
    (bend,) = segments_notes(note)
    (segment,) = segments(held([note], tempo=100))
    found = pitch_hz(render(segment)[FIRST:LAST], harp.hertz(bend))
    both = sorted(harp.hertz(n) for n in segments_notes(f"{bend.hole}b", f"{bend.hole}d"))
    assert both[0] < found < both[1]


def test_reeds_of_an_octave_beat() -> None:
    """An octave is not locked: its level swells and falls as the reeds' own tunings drift apart."""
    (segment,) = segments(held(["1+4b"], tempo=30))
    sound = render(segment)[FIRST : 4 * SAMPLE_HZ - 9_600]
    second = np.convolve(sound, np.ones(1), "same")
    spectrum = np.abs(np.fft.rfft(second * np.hanning(len(second))))
    hertz = np.fft.rfftfreq(len(second), 1 / SAMPLE_HZ)
    near = (hertz > 510) & (hertz < 537)
    strong = hertz[near][spectrum[near] > 0.3 * spectrum[near].max()]
    assert strong.max() - strong.min() > 0.25  # two lines, not one


def test_a_run_that_fails_is_played_by_the_wavetable(monkeypatch: pytest.MonkeyPatch) -> None:
    (segment,) = segments(held(["4d"], tempo=100))
    assert sound_of(segment.lines[0], segment)[1]
    monkeypatch.setattr(rendering, "modelled", lambda *_: None)
    sound, by_model = sound_of(segment.lines[0], segment)
    assert not by_model
    assert np.abs(sound).max() > 0
    assert dbfs(render(segment)[FIRST:LAST]) == pytest.approx(-20, abs=1.5)


def test_a_hole_that_cannot_be_steered_to_its_pitch_is_noticed() -> None:
    """A wish far outside what the reeds give, forced upon the model."""
    line = HoleLine(Hole(440.0, 2), level(-300.0), level(0.5), level(1.0), modelled=True)
    segment = Segment(0, 48_000, (line,), level(0.5), 0.0, False)
    sound, by_model = sound_of(line, segment)
    assert not by_model
    assert cents(pitch_hz(sound[FIRST:], 370.0), 440.0) == pytest.approx(-300, abs=1)


@pytest.mark.parametrize(
    "cell", ["/4d", "//3d", "4dv", "4df", "4ds", "1>4d", "4x5d", "4d\\", "1+2+3d", "3dp", "6bo"]
)
def test_every_gesture_is_heard_and_nothing_clicks(cell: str) -> None:
    for segment in segments(played(f"1: . {cell} = .", tempo=90)):
        sound = render(segment)
        assert sound.dtype == np.float32
        assert len(sound) == segment.samples
        assert edge_step_dbfs(sound) < -50
        assert len(sound) < SAMPLE_HZ // 5 or edge_click_dbfs(sound) < -50
        loudest = rms_line(sound, TEN_MS)[TEN_MS : -3 * TEN_MS]
        assert loudest.max() > 0.05
        early = np.abs(np.diff(sound[: 2 * TEN_MS])).max()
        assert early < 1.5 * np.abs(np.diff(sound[2 * TEN_MS :])).max()


def test_the_same_segment_gives_the_same_bytes() -> None:
    (segment,) = segments(held(["3d'"], tempo=100))
    assert render(segment).tobytes() == render(segment).tobytes()
    assert render(stand_in(segment)).tobytes() != render(segment).tobytes()


def test_a_number_that_is_not_finite_names_the_stage() -> None:
    with pytest.raises(ValueError, match="the stage `voice`"):
        checked(np.array([0.0, np.nan]), "voice")


def test_a_stem_is_as_long_as_the_performance_and_silent_in_rests() -> None:
    made = held(["4d", "5d"], tempo=100)
    stem = voice_stem(made)
    assert len(stem) == round(made.performance.length_s * SAMPLE_HZ)
    assert not stem[: round(made.playings[0].played_s * SAMPLE_HZ)].any()
    first, second = made.playings
    between = slice(*(round(s * SAMPLE_HZ) for s in (first.played_end_s + 0.05, second.played_s)))
    assert not stem[between].any()


def test_a_tail_beyond_the_end_is_faded() -> None:
    stem = np.zeros(1_000, dtype=np.float32)
    add(stem, np.ones(800, dtype=np.float32), 600)
    add(stem, np.ones(10, dtype=np.float32), 1_000)
    assert stem[-1] == 0
    assert not stem[:600].any()
    assert stem[600] == pytest.approx(1, abs=0.01)


def test_nothing_played_is_silence() -> None:
    assert not voice_stem(played("1: . . . .")).any()


@settings(max_examples=12, deadline=None)
@given(tunes_as_written(playable_sounds()), st.sampled_from((20, 92, 400)), st.integers(0, 2))
def test_whatever_can_be_played_sounds(text: str, tempo: int, seed: int) -> None:
    """Any gestures in any order: finite, within the range of a float track, never silent."""
    performance = perform(place(read_tune(text, "any.reed")), Fraction(tempo))
    found = segments(play(performance, seed))
    for segment in [one for one in found if one.samples < 5 * SAMPLE_HZ][:8]:
        sound = render(segment)
        assert np.isfinite(sound).all()
        assert np.abs(sound).max() < 3
        assert edge_step_dbfs(sound) < -50
        if max(segment.breath.values) > 0.15:
            assert rms_line(sound, min(TEN_MS, len(sound))).max() > 1e-3
