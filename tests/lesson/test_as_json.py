"""The lesson as plain values: it says what the other rooms know, in the order of the events."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from reedwright.lesson.as_json import lesson_json
from reedwright.lesson.study import study
from reedwright.performance.perform import perform
from reedwright.performance.play import play
from reedwright.tune.load import load_tune
from reedwright.tune.place import place
from reedwright.tune.read import read_tune

DEMOS = sorted((Path(__file__).resolve().parents[2] / "demo").glob("*.reed"))

Lesson = dict[str, Any]


def made(path: Path) -> Lesson:
    return lesson_json(study(place(load_tune(path))))


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_every_reference_leads_somewhere(path: Path) -> None:
    lesson = made(path)
    ids = [event["id"] for event in lesson["events"]]
    slugs = {lick["slug"] for lick in lesson["licks"]}
    assert len(set(ids)) == len(ids)
    for tempo in lesson["tempos"]:
        assert [event["id"] for event in tempo["events"]] == ids
    for lick in lesson["licks"]:
        pieces = [note for piece in lick["pieces"] for note in piece["event_ids"]]
        assert pieces == lick["event_ids"]
        assert set(pieces) <= set(ids)
    bars = [bar for chorus in lesson["choruses"] for bar in chorus["bars"]]
    assert {slug for bar in bars for slug in bar["licks"]} == slugs
    assert [bar["index"] for bar in bars] == list(range(bars[0]["index"], bars[-1]["index"] + 1))


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_times_are_those_of_the_performance(path: Path) -> None:
    score = place(load_tune(path))
    lesson = lesson_json(study(score), tempos_bpm=[Fraction(77)], seed=3)
    (tempo,) = lesson["tempos"]
    played = play(perform(score, Fraction(77)), 3).playings
    for row, playing in zip(tempo["events"], played, strict=True):
        assert row["played_s"] == pytest.approx(playing.played_s, abs=1e-6)
        assert row["score_s"] == pytest.approx(playing.timed.score_s, abs=1e-6)


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_is_json_and_says_how_high_each_reed_sounds(path: Path) -> None:
    lesson = json.loads(json.dumps(made(path), allow_nan=False))
    reference = lesson["harp"]["a4_hz"]
    for note in lesson["notes"]:
        assert note["hertz"] == pytest.approx(reference * 2 ** ((note["midi"] - 69) / 12), rel=1e-5)
    known = {note["tab"]: note["hertz"] for note in lesson["notes"]}
    for event in lesson["events"]:
        assert event["hertz"] == [known[tab] for tab in event["tab"]]


def test_a_breath_is_drawn_between_the_limits() -> None:
    for path in DEMOS:
        for tempo in made(path)["tempos"]:
            lungs, line = tempo["lungs"], tempo["breath"]
            assert line, path
            assert all(lungs["low_l"] <= at["litres"] <= lungs["high_l"] for at in line)
            times = [at["time_s"] for at in line]
            assert times == sorted(times)


def test_the_blue_third_is_a_zone_and_no_other_note_is() -> None:
    text = "Title: T\nHarp: C\nPosition: 2\nForm: 12-bar\nLick A\n1: 3d 3d' 3d'' 2d\n"
    events = lesson_json(study(place(read_tune(text))))["events"]
    zones = {event["tab"][0]: event["zone_cents"] for event in events}
    assert zones == {"3d": [-100, 0], "3d'": [0, 100], "3d''": None, "2d": None}


def test_a_pickup_is_bar_nought_and_index_minus_one() -> None:
    text = "Title: T\nHarp: C\nPosition: 2\nForm: 12-bar\nLick A\n0: . . . 4d\n1: 4b = = .\n"
    lesson = lesson_json(study(place(read_tune(text))))
    assert lesson["choruses"][0]["bars"][0] == {"bar": 0, "index": -1, "licks": ["a"]}


def test_a_tune_without_sounds_is_a_lesson_without_licks() -> None:
    lesson = lesson_json(
        study(place(read_tune("Title: T\nHarp: C\nPosition: 2\nLick A\n1: . . . .\n")))
    )
    assert lesson["licks"] == []
    assert lesson["events"] == []
    assert lesson["tempos"][0]["events"] == []
