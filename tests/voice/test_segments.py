"""Which notes are one sound, what shapes it, and what two equal sounds share."""

from dataclasses import replace

import pytest

from reedwright.harp.harp import harp_named
from reedwright.harp.note import parse_note
from reedwright.performance.playing import Attack, level
from reedwright.voice.holes import hole_of, target_cents
from reedwright.voice.segments import TONGUED, segments
from reedwright.voice.values import RECIPE, SAMPLE_HZ, Hole, HoleLine, Segment
from tests.voice.builders import held, played


def test_a_slurred_bend_goes_on_in_its_segment() -> None:
    (segment,) = segments(played("1: 3d 3d' 3d'' 3d'''\n2: 3d . . ."))
    (line,) = segment.lines
    assert min(line.cents.values) == -300.0
    assert max(line.cents.values) == 0.0


def test_another_hole_a_turn_and_a_tongue_start_a_segment() -> None:
    assert len(segments(played("1: 3d 4d 4b 4b"))) == 4


def test_equal_notes_share_a_key_wherever_they_stand() -> None:
    first, second, third = segments(played("1: 4d = . .\n2: 4d = . .\n3: 5d = . ."))
    assert first.key == second.key
    assert first.start_sample != second.start_sample
    assert third.key != first.key


def test_time_between_samples_is_rounded_and_leaves_the_key_alone() -> None:
    found = segments(held(["4d"] * 5, tempo=113))
    starts = [segment.start_sample for segment in found]
    exact = [p.played_s * SAMPLE_HZ for p in held(["4d"] * 5, tempo=113).playings]
    assert [round(start) for start in exact] == starts
    assert any(abs(start - round(start)) > 0.1 for start in exact)
    assert len({segment.key for segment in found}) == 1


@pytest.mark.parametrize(
    "change",
    [
        {"samples": 40_000},
        {"tongued": 0.5},
        {"blocked": True},
        {"breath": level(0.4)},
    ],
)
def test_all_that_shapes_the_sound_is_in_the_key(change: dict) -> None:
    (segment,) = segments(held(["4d"]))
    assert replace(segment, **change).key != segment.key


def test_harps_a_cent_apart_do_not_share_samples() -> None:
    (segment,) = segments(held(["4d"]))
    line = segment.lines[0]
    other = replace(line, hole=replace(line.hole, closing_hz=line.hole.closing_hz * 1.0006))
    assert replace(segment, lines=(other,)).key != segment.key
    assert RECIPE >= 1


def test_a_chord_is_a_line_for_each_hole_each_with_its_own_detune() -> None:
    (segment,) = segments(held(["1+2+3d"]))
    assert [line.hole.closing_hz for line in segment.lines] == [293.665, 391.995, 493.883]
    assert all(line.loose and not line.modelled for line in segment.lines)


def test_a_shake_hands_the_sound_over() -> None:
    (segment,) = segments(held(["4x5d"]))
    first, other = segment.lines
    for time_s in (0.05, 0.35, 0.75):
        assert first.share.at(time_s) + other.share.at(time_s) == pytest.approx(1.0, abs=1e-3)
    values = {round(first.share.at(step / 100), 2) for step in range(100)}
    assert {0.0, 1.0} <= values


def test_a_rake_starts_before_its_note_and_passes_its_holes() -> None:
    bars = "1: . 1>4d . ."
    (segment,) = segments(played(bars))
    (playing,) = played(bars).playings
    assert len(segment.lines) == 4
    assert segment.start_sample < playing.played_s * SAMPLE_HZ
    main, *passing = segment.lines
    assert main.modelled
    assert all(line.share.values[-1] == 0 for line in passing)


def test_a_slap_is_tongued_and_darker() -> None:
    (segment,) = segments(held(["4ds"]))
    assert segment.blocked
    assert segment.tongued == TONGUED[Attack.SLAP]
    assert len(segment.lines) == 3


def test_silence_has_no_segments() -> None:
    assert segments(played("1: . . . .")) == ()


@pytest.mark.parametrize(
    ("harp", "note", "interval"),
    [
        ("C", "3d", -4),
        ("C", "3b", 4),
        ("C", "7b", -1),
        ("C", "10b''", -3),
        ("C", "6bo", 2),
        ("low F", "2d''", -3),
        ("A natural minor", "2d", -4),
    ],
)
def test_the_reeds_of_a_hole(harp: str, note: str, interval: int) -> None:
    hole = hole_of(harp_named(harp), parse_note(note))
    assert (hole.interval, hole.over) == (interval, note.endswith("o"))


def test_a_bend_is_counted_from_its_own_reed() -> None:
    harp = harp_named("C")
    assert target_cents(harp, parse_note("3d''")) == pytest.approx(-200)
    assert target_cents(harp, parse_note("6bo")) == pytest.approx(300)
    assert target_cents(harp, parse_note("7do")) == pytest.approx(200)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="Voice: no hole"):
        Hole(0.0, 2)
    with pytest.raises(ValueError, match="Voice: no hole"):
        Hole(440.0, 7)
    line = HoleLine(Hole(440.0, -2), level(0.0), level(0.5), level(1.0))
    with pytest.raises(ValueError, match="Voice: no segment"):
        Segment(0, 0, (line,), level(0.5), 0.0, False)
