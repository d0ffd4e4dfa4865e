"""Positions, modes and chord tones against facts of the trade; see docs/facts.md, D."""

import pytest

from reedwright.harp.harp import harp_named
from reedwright.harp.note import Breath, TabNote, parse_note
from reedwright.harp.pitch import harp_key, pitch_class
from reedwright.harp.position import (
    degree_of,
    harp_key_for,
    mode_of,
    position_key,
    position_name,
    position_of,
)

C = harp_named("C")

# Source: common practice.
KEYS_OF_C = ["C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F"]
MODES = {1: "Ionian", 2: "Mixolydian", 3: "Dorian", 4: "Aeolian", 5: "Phrygian"}
MODES |= {6: "Locrian", 12: "Lydian"}


def test_the_keys_of_a_c_harp() -> None:
    assert [harp_key(position_key(C, position)) for position in range(1, 13)] == KEYS_OF_C
    assert [position_of(C, key) for key in KEYS_OF_C] == list(range(1, 13))


@pytest.mark.parametrize("position", range(1, 13))
def test_the_modes_of_a_c_harp(position: int) -> None:
    assert mode_of(C, position) == MODES.get(position, "")


def test_the_names_of_positions() -> None:
    # Source: common practice.
    names = [position_name(position) for position in (1, 2, 3, 4)]
    assert names == ["first (straight)", "second (cross)", "third (slant)", "fourth"]


# Source: common practice: blues in E takes an A harp, in C an F harp; a G harp gives A in third.
@pytest.mark.parametrize(("key", "position", "harp"), [("E", 2, "A"), ("C", 2, "F"), ("A", 3, "G")])
def test_the_harp_for_a_key(key: str, position: int, harp: str) -> None:
    assert harp_key_for(key, position) == harp
    assert position_of(harp_named(harp), key) == position


# Source: computed from the layout and the law: every place of a chord's tones on a C harp.
SECOND_POSITION = {
    "G": "2d 3b 6b 9b",
    "B": "3d 7d 10b'",
    "D": "1d 4d 8d",
    "F": "2d'' 5d 9d 8do",
    "C": "1b 4b 7b 10b 3bo",
    "E": "2b 5b 8b",
    "Bb": "3d' 10b'' 6bo",
    "F#": "2d' 9b' 5bo",
    "A": "3d'' 6d 10d",
    "Db": "1d' 4d' 7do 10do",
    "Eb": "8b' 1bo 4bo",
}


@pytest.mark.parametrize(("tone", "places"), SECOND_POSITION.items())
def test_chord_tones_of_a_c_harp(tone: str, places: str) -> None:
    found = [str(note) for note in C.notes() if C.midi(note) % 12 == pitch_class(tone)]
    assert sorted(found) == sorted(places.split())


# Source: computed from the layout: degrees of the key a position gives.
@pytest.mark.parametrize(
    ("position", "degree", "places"),
    [
        (2, "b3", "3d' 10b'' 6o"),
        (2, "b5", "1d' 4d' 7o 10o"),
        (2, "b7", "2d'' 5d 9d"),
        (3, "1", "1d 4d 8d"),
        (3, "b3", "2d'' 5d 9d"),
        (3, "5", "3d'' 6d 10d"),
        (3, "b7", "1b 4b 7b 10b"),
        (3, "7", "1d' 4d'"),
        (1, "b3", "8b' 1o 4o"),
        (1, "b5", "2d' 9b' 5o"),
        (1, "b7", "3d' 10b''"),
    ],
)
def test_degrees_by_position(position: int, degree: str, places: str) -> None:
    key = position_key(C, position)
    for token in places.split():
        assert degree_of(C.midi(parse_note(token)), key) == degree


# Source: common practice: the chords a C harp holds. Blow is C everywhere.
@pytest.mark.parametrize(
    ("holes", "chord"), [((1, 2, 3), "G B D"), ((2, 3, 4, 5), "G B D F"), ((4, 5, 6), "D F A")]
)
def test_draw_chords(holes: tuple[int, ...], chord: str) -> None:
    sounding = {C.midi(TabNote(hole, Breath.DRAW)) % 12 for hole in holes}
    assert sounding == {pitch_class(name) for name in chord.split()}


def test_the_blow_chord() -> None:
    sounding = {C.midi(TabNote(hole, Breath.BLOW)) % 12 for hole in range(1, 11)}
    assert sounding == {pitch_class(name) for name in ["C", "E", "G"]}
