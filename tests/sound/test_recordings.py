"""Which recordings a tune gets, and what is heard in each."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from reedwright.harp.harp import harp_named
from reedwright.sound.heard import chord_rhythm, extents, traded
from reedwright.sound.recordings import Kind, Recording, plan
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune

DEMO = sorted((Path(__file__).parents[2] / "demo").glob("*.reed"))
HEAD = "Title: T\nHarp: C\nPosition: 2\nTempo: 60, 90.5\n"


def score_of(body: str, head: str = HEAD + "Form: 12-bar\n") -> Score:
    return place(read_tune(head + "\n" + body))


TWO = score_of(
    "Lick Call\n0: . . . .&2d\n1: 3d 4d . .\n2: 2d . . .\n\n"
    "Lick Train\n1: 1+2d 1+2b 1+2d 2d\n\n"
    "Chorus\n1 Call\n3 Train, 2 times\n5 Call, from bar 1\n\nChorus\n1 Call\n9 Train\n"
)


def names(recordings: tuple[Recording, ...]) -> list[str]:
    return [recording.name for recording in recordings]


def test_every_recording_at_every_tempo() -> None:
    slow = [name for name in names(plan(TWO)) if name.endswith("-60")]
    assert slow == [
        "audio/demo-60",
        "audio/demo-amplified-60",
        "audio/backing-60",
        "audio/practice-60",
        "audio/trading-60",
        "audio/rhythm-60",
        "audio/drone-60",
        "audio/click-60",
        "audio/lick-call-alone-60",
        "audio/lick-call-band-60",
        "audio/lick-call-loop-60",
        "audio/lick-train-alone-60",
        "audio/lick-train-band-60",
        "audio/lick-train-loop-60",
    ]
    fast = [name.replace("-60", "-90-5") for name in slow]
    assert names(plan(TWO)) == slow + fast
    assert names(plan(TWO, [Fraction(90)])) == [name.replace("-60", "-90") for name in slow]


def test_other_harps_come_after_the_tunes_own() -> None:
    harps = [harp_named("C"), harp_named("low F#"), harp_named("low F#")]
    made = plan(TWO, [Fraction(60)], harps)
    assert names(made)[14] == "audio/demo-60-on-low-f-sharp"
    assert len(made) == 28
    assert made[14].title == "T: demonstration, 60 beats a minute, on a harp in low F#"
    assert made[14].event_ids == made[0].event_ids


def test_a_lick_is_heard_where_it_is_first_whole() -> None:
    call, train = extents(TWO)
    assert (call.first_bar, call.bars, len(call.event_ids)) == (0, 2, 4)
    assert (train.first_bar, train.bars) == (2, 1)
    assert all(identity.startswith("call:") for identity in call.event_ids)
    cut = score_of("Lick Call\n1: 2d 3d 4d .\n\nChorus\n1 Call, from bar 1 beat 2\n5 Call\n")
    (whole,) = extents(cut)
    assert whole.first_bar == 4


def test_a_pickup_inside_a_chorus_stays_before_its_bars() -> None:
    later = score_of("Lick Call\n0: . . . 2d\n1: 3d . . .\n\nChorus\n5 Call\n")
    (call,) = extents(later)
    assert (call.first_bar, call.bars, len(call.event_ids)) == (4, 1, 2)


def test_the_chord_rhythm_is_what_is_mostly_chords() -> None:
    heard = chord_rhythm(TWO)
    assert {identity.partition(":")[0] for identity in heard} == {"train"}
    assert len(heard) == 4 * 3
    splits = score_of("Lick Call\n1: 1+4b 1+4b 1+4b .\n\nChorus\n1 Call\n")
    assert chord_rhythm(splits) == frozenset()  # octaves are no chords
    assert Kind.RHYTHM not in {recording.kind for recording in plan(splits)}


def test_trading_leaves_every_other_four_bars() -> None:
    mine = traded(TWO)
    bars = {(e.chorus, e.bar) for e in TWO.events if e.id in mine}
    others = {(e.chorus, e.bar) for e in TWO.events if e.id not in mine}
    assert bars == {(1, 0), (1, 1), (1, 2), (1, 3), (1, 4)}
    assert others == {(1, 5), (1, 6), (1, 12), (2, 1), (2, 2), (2, 9)}  # (1, 12) is a pickup
    short = score_of("Lick Call\n1: 2d . . .\n\nChorus\n1 Call\n")
    assert traded(short) == frozenset()
    assert Kind.TRADING not in {recording.kind for recording in plan(short)}


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_demo_tunes(path: Path) -> None:
    score = place(read_tune(path.read_text(encoding="utf-8")))
    made = plan(score)
    assert len(set(names(made))) == len(made)
    assert all(name.isascii() and name.startswith("audio/") for name in names(made))
    assert {lick.slug for lick in extents(score)} == set(score.tune.licks)
    for recording in made:
        assert recording.total_bars == recording.bars * (2 if recording.loops else 1)


def test_a_tune_without_a_sound_or_a_form() -> None:
    silent = score_of("Lick Call\n1: . . . .\n", HEAD)
    assert {recording.kind for recording in plan(silent)} == {Kind.BACKING, Kind.CLICK}
