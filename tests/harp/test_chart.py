"""The chart in a terminal and as JSON."""

import json
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import HarpError
from reedwright.harp.chart import chart_json, chart_text
from reedwright.harp.harp import Harp, harp_named
from reedwright.harp.note import parse_note
from reedwright.harp.temperament import temperament_named
from reedwright.harp.tuning import tuning_named
from tests.strategies_harp import harps, named_harps, positions

_ESCAPE = re.compile(r"\x1b\[[0-9;]*m")

C_HARP = """\
C harp, Richter

bend 2                                                     Bb6
bend 1, over  Eb4o Ab4o C5o  Eb5o F#5o Bb5o      Eb6  F#6   B6
blow           C4   E4   G4   C5   E5   G5   C6   E6   G6   C7
             --------------------------------------------------
hole           1    2    3    4    5    6    7    8    9    10
             --------------------------------------------------
draw           D4   G4   B4   D5   F5   A5   B5   D6   F6   A6
bend 1, over  Db4  F#4  Bb4  Db5       Ab5  Db6o F6o  Ab6o Db7o
bend 2              F4   A4
bend 3                  Ab4

blow above the holes, draw below; bend 1: down one semitone; o: overbend
"""


def test_a_whole_chart() -> None:
    assert chart_text(harp_named("C")) == C_HARP


def test_degrees_and_cents_stand_below_their_note() -> None:
    harp = Harp("C", tuning_named("Richter"), temperament=temperament_named("7-limit just"))
    lines = chart_text(harp, 2).splitlines()
    at = lines.index("draw           D4   G4   B4   D5   F5   A5   B5   D6   F6   A6")
    assert lines[at + 1].split() == ["5", "1", "3", "5", "b7", "2", "3", "5", "b7", "2"]
    assert lines[at + 2].split() == ["+4", "+2", "-12", "+4", "-29", "+6", "-12", "+4", "-29", "+6"]
    assert lines[1:3] == [
        "second (cross) position: G Mixolydian",
        "7-limit just, in cents from equal",
    ]


@given(harps, st.one_of(st.none(), positions), st.integers(-5, 200), st.booleans())
def test_every_note_is_there_within_the_width(
    harp: Harp, position: int | None, width: int, colour: bool
) -> None:
    text = chart_text(harp, position, colour, width)
    assert text.endswith("\n")
    assert ("\x1b[" in text) == colour
    plain = _ESCAPE.sub("", text)
    assert plain == chart_text(harp, position, colour=False, width=width)
    assert max(map(len, plain.splitlines())) <= max(width, 32)  # below, one hole at a time
    names = plain.partition("\n\n")[2].split()
    expected = [cell["pitch"] + "o" * cell["over"] for cell in rows(harp, position)]
    assert all(names.count(name) >= expected.count(name) for name in expected)


def rows(harp: Harp, position: int | None = None) -> list[dict]:
    found = chart_json(harp, position)["notes"]
    assert isinstance(found, list)
    return found


@given(named_harps())
def test_a_built_in_harp_of_ten_or_twelve_holes_fits_eighty_columns_in_one(harp: Harp) -> None:
    assert chart_text(harp).count("hole  ") == 1
    assert max(map(len, chart_text(harp).splitlines())) <= 80


@given(harps, st.one_of(st.none(), positions))
def test_the_json_form_holds_every_note_as_the_harp_has_it(
    harp: Harp, position: int | None
) -> None:
    made = chart_json(harp, position)
    assert json.loads(json.dumps(made, allow_nan=False)) == made
    assert made["schema"] == "reedwright.harp/1"
    assert made["harp"] == harp.as_json()
    assert [parse_note(row["tab"]) for row in rows(harp)] == list(harp.notes())
    for row in rows(harp, position):
        note = parse_note(row["tab"])
        assert row["midi"] == harp.midi(note)
        assert row["hertz"] == pytest.approx(harp.hertz(note), abs=0.001)
        assert (row["degree"] is None) == (position is None)


def test_the_position_in_the_json_form() -> None:
    assert chart_json(harp_named("A"), 2)["position"] == {
        "number": 2,
        "name": "second (cross)",
        "key": "E",
        "mode": "Mixolydian",
    }
    assert chart_json(harp_named("A"))["position"] is None


def test_a_position_that_does_not_exist_is_refused() -> None:
    for make in (chart_text, chart_json):
        with pytest.raises(HarpError, match="Positions run from 1 to 12"):
            make(harp_named("C"), 13)
