"""The whole answer: in order, in words, as JSON; tunes as melodies; nothing in reach."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest

from reedwright.breath.settings import default_lungs
from reedwright.fit.answer import Answer, answered
from reedwright.fit.as_json import answer_json
from reedwright.fit.as_text import COPYRIGHT, answer_lines
from reedwright.fit.effort import effort
from reedwright.fit.fromtune import reading_of_tune
from reedwright.fit.melody import Melody, MelodyError
from reedwright.fit.reading import Reading
from reedwright.fit.tabtext import tab_lines
from reedwright.fit.wishes import Wishes, all_harps
from reedwright.tune.load import load_tune
from reedwright.tune.place import place
from tests.fit.melodies import melody

DEMO = sorted((Path(__file__).resolve().parents[2] / "demo").glob("*.reed"))
HARPS = all_harps(("C", "G", "A"), ("Richter", "country"))
SCALE = melody(60, 62, 64, 65, 67, 69, 71, 72, title="Up", bar_count=2, key=0)


def ask(tune: Melody, **wishes: object) -> Answer:
    made = Wishes(harps=HARPS, **wishes)  # type: ignore[arg-type]
    return answered(Reading(tune), made, effort(), default_lungs())


def test_json_is_complete_and_best_first() -> None:
    document = json.loads(json.dumps(answer_json(ask(SCALE))))
    assert document["schema"] == "reedwright.fit/1"
    assert document["melody"]["notes"] == 8
    rows = document["choices"]
    assert len(rows) == 3
    assert [row["cost"] for row in rows] == sorted(row["cost"] for row in rows)
    first = rows[0]
    assert first["harp"] == {
        "key": "C", "variant": "standard", "tuning": "Richter", "a4_hz": 440.0,
        "temperament": "equal",
    }  # fmt: skip
    for row in [*rows, *document["tabs"]]:
        counts = row["natural"] + row["bends"] + row["overbends"] + row["unreachable"]
        assert counts == row["notes"] == len(row["tab"]) == 8
        assert row["breath_ok"]
    assert {tuple(row["tab"]) for row in document["tabs"]} & {tuple(first["tab"])} == set()


def test_words() -> None:
    lines = list(answer_lines(ask(SCALE), 80))
    assert lines[0] == "Up: 8 notes in 2 bars of 4/4, straight, 100 beats a minute, in C."
    assert all(len(line) <= 80 for line in lines)
    assert sum(line[:3] in ("1. ", "2. ", "3. ") for line in lines) == 3
    assert any(line.lstrip().startswith("Why before number 2:") for line in lines)
    assert " ".join(lines).endswith(COPYRIGHT)


def test_the_tab_in_bars() -> None:
    tune = melody(67, 67, 72, length=3, bar_count=3)
    choice = ask(tune).choices[0].choice
    tokens = choice.tab
    assert tab_lines(tune, choice, 80) == [f"      1: {tokens[0]} {tokens[1]} | {tokens[2]} | - |"]
    narrow = tab_lines(SCALE, ask(SCALE).choices[0].choice, 20)
    assert [line[:9] for line in narrow] == ["      1: ", "      2: "]


def test_nothing_in_reach_says_what_is_missing() -> None:
    with pytest.raises(MelodyError) as caught:
        ask(melody(12, 60, 64))
    assert str(caught.value).startswith(
        "no harp at hand plays this melody. The best, the C harp, lacks C0 (1 of 3 notes). Mend: "
    )
    assert ask(melody(12, 60, 64), drop=True).choices[0].verdict.unreachable == 1
    assert len(ask(melody(12, 60, 64), fold=True).choices[0].choice.folded) == 1


def test_a_position_nothing_is_in() -> None:
    with pytest.raises(MelodyError, match="every note is there, but not in position 7"):
        ask(SCALE, position=7)


def test_none_of_the_tabs_can_be_breathed_is_said() -> None:
    """A draw chord of C for minutes on end, without a rest: no harp has air for it."""
    held = melody(62, 62, 62, 62, length=60, bar_count=60)
    answer = ask(held)
    assert not answer.choices[0].choice.breath_ok
    text = " ".join(" ".join(answer_lines(answer)).split())
    assert "None of the tabs tried can be breathed (at most 1,000 are)." in text
    assert answer_json(answer)["choices"][0]["breath_ok"] is False


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_a_tune_is_a_melody(path: Path) -> None:
    tune = load_tune(path)
    reading = reading_of_tune(tune)
    events = place(tune).events
    notes = reading.melody.notes
    assert [(n.start, n.length) for n in notes] == [(e.start, e.length) for e in events]
    assert [n.top for n in notes] == [
        max(tune.harp.midi(note) for note in event.sound.notes) for event in events
    ]
    assert (reading.melody.key, reading.melody.tempo_bpm) == (tune.key, tune.full_tempo_bpm)
    own = Wishes(harps=(tune.harp,))
    answer = answered(reading, own, effort(), default_lungs())
    assert answer.choices[0].choice.shift_semitones == 0
    assert answer.choices[0].verdict.unreachable == 0


def test_chords_of_a_tune_come_along() -> None:
    tune = load_tune(DEMO[0])
    bars = reading_of_tune(tune).melody.bars
    spans = [sum((span.length for span in bar), Fraction(0)) for bar in bars]
    assert spans == [tune.meter.beats] * len(bars)
    assert len(bars) == place(tune).bars
