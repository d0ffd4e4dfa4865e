"""Chord tones and roles against facts of the trade; see docs/facts.md, D and L.

Source: common practice, and the layout of a C harp (OEIS A291810); the tables are written out as a
player knows them, token by token, and owe nothing to the code.
"""

import pytest

from reedwright.harmony.roles import Home, Role, Tone, tone
from reedwright.harmony.tones import tones
from reedwright.harp.harp import harp_named
from reedwright.harp.note import parse_note
from reedwright.harp.position import position_key
from reedwright.tune.chords import parse_chord
from tests.check.tunes import lick

C = harp_named("C")
WORDS = {"root": Role.ROOT, "3rd": Role.THIRD, "5th": Role.FIFTH, "b7": Role.SEVENTH}

SECOND = {  # key G
    "I7": {
        "root": "2d 3b 6b 9b",
        "3rd": "3d 7d 10b'",
        "5th": "1d 4d 8d",
        "b7": "2d'' 5d 9d",
    },
    "IV7": {
        "root": "1b 4b 7b 10b",
        "3rd": "2b 5b 8b",
        "5th": "2d 3b 6b 9b",
        "b7": "3d' 10b'' 6bo",
    },
    "V7": {
        "root": "1d 4d 8d",
        "3rd": "2d' 9b' 5bo",
        "5th": "3d'' 6d 10d",
        "b7": "1b 4b 7b 10b",
    },
}
THIRD = {  # key D minor
    "i7": {"root": "1d 4d 8d", "3rd": "2d'' 5d 9d", "5th": "3d'' 6d 10d", "b7": "1b 4b 7b 10b"},
    "V7": {"3rd": "1d' 4d'"},
}


def heard(token: str, position: int, chord: str, minor: bool = False) -> Tone:
    key = position_key(C, position)
    home = Home(key, minor, frozenset())
    return tone(C.midi(parse_note(token)), home, parse_chord(chord, key))


@pytest.mark.parametrize(("position", "table"), [(2, SECOND), (3, THIRD)])
def test_chord_tones(position: int, table: dict[str, dict[str, str]]) -> None:
    for chord, row in table.items():
        for word, tokens in row.items():
            for token in tokens.split():
                found = heard(token, position, chord, minor=position == 3)
                assert (found.role, found.in_chord) == (WORDS[word], True), (token, chord)


@pytest.mark.parametrize("chord", SECOND)
def test_no_other_natural_note_is_a_tone_of_the_chord(chord: str) -> None:
    listed = " ".join(SECOND[chord].values()).split()
    natural = [str(note) for note in C.notes() if note == note.natural()]
    found = {token for token in natural if heard(token, 2, chord).in_chord}
    assert found == {token for token in listed if token in natural}


BLUE = {
    2: {"b3": "3d' 10b'' 6bo", "b5": "1d' 4d' 7do 10do", "b7": "2d'' 5d 9d"},
    1: {"b3": "8b' 1bo 4bo", "b5": "2d' 9b' 5bo", "b7": "3d' 10b''"},
}


@pytest.mark.parametrize("position", BLUE)
def test_blue_notes_are_idiom_over_the_home_chord(position: int) -> None:
    for degree, tokens in BLUE[position].items():
        for token in tokens.split():
            found = heard(token, position, "I7")
            assert (found.degree, found.blue, found.outside) == (degree, True, False), token
            assert found.role is (Role.SEVENTH if degree == "b7" else Role.BLUE)


@pytest.mark.parametrize(
    ("token", "chord"),
    [
        ("1+2+3d", "G"),
        ("2+3+4+5d", "G7"),
        ("4+5+6d", "Dm"),
        *((f"{hole}+{hole + 1}+{hole + 2}b", "C") for hole in range(1, 9)),
    ],
)
def test_the_chords_of_the_layout(token: str, chord: str) -> None:
    (row,) = tones(lick(f"{token} . . .", Form=chord))
    assert all(tone is not None and tone.in_chord for tone in row.tones)
    wanted = set(parse_chord(chord, 0).intervals)
    root = parse_chord(chord, 0).root
    assert {(tone.midi - root) % 12 for tone in row.tones if tone} == wanted


def test_low_chords_of_cross_position() -> None:
    """Under IV the blow chord fits; V has only 1d, or 1d with 4d. Source: common practice."""

    def fits(token: str, chord: str) -> bool:
        (row,) = tones(lick(f"{token} . . .", Form=chord))
        return all(tone is not None and tone.in_chord for tone in row.tones)

    low = ["1+2b", "1+2+3b", "2+3b", "2+3+4b", "1+2d", "1+2+3d", "2+3d", "2+3+4d", "3+4d"]
    assert [token for token in low if fits(token, "IV7")] == ["1+2b", "1+2+3b", "2+3b", "2+3+4b"]
    assert [token for token in [*low, "1d", "1+4d"] if fits(token, "V7")] == ["1d", "1+4d"]
