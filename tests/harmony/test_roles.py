"""Roles of notes over chords; the facts behind them are checked in tests/outside."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.harmony.roles import Home, Role, roles_of, tone
from reedwright.harp.position import degree_of
from reedwright.tune.chords import QUALITIES, Chord, parse_chord

G = Home(7, minor=False, scale=frozenset({0, 2, 4, 5, 7, 9, 10}))
D_MINOR = Home(2, minor=True, scale=frozenset({0, 2, 3, 5, 7, 9, 10}))
midis = st.integers(0, 127)


def role(pitch_class: int, chord: str, home: Home = G) -> Role:
    return tone(60 + pitch_class, home, parse_chord(chord, home.key)).role


@pytest.mark.parametrize(
    ("chord", "roles"),
    [
        ("7", "root - ninth - third fourth - fifth - sixth seventh -"),
        ("m7", "root - ninth third - fourth - fifth - sixth seventh -"),
        ("", "root - ninth - third fourth - fifth - sixth seventh seventh"),
        ("5", "root - ninth third third fourth - fifth - sixth seventh seventh"),
        ("7#9", "root - ninth ninth third fourth - fifth - sixth seventh -"),
        ("sus4", "root - ninth - - fourth - fifth - sixth seventh seventh"),
        ("dim7", "root - ninth third - fourth fifth - - seventh - -"),
        ("7#5", "root - ninth - third fourth - - fifth sixth seventh -"),
        ("maj7", "root - ninth - third fourth - fifth - sixth - seventh"),
    ],
)
def test_the_twelve_notes_over_a_chord(chord: str, roles: str) -> None:
    # Source: common practice.
    assert [str(role) for role in roles_of(chord)] == [
        "outside" if word == "-" else word for word in roles.split()
    ]


@pytest.mark.parametrize("chord", ["I7", "IV7", "V7"])
def test_blue_notes_are_idiom_over_every_chord_of_a_blues(chord: str) -> None:
    for above in (3, 6, 10):
        heard = tone(60 + 7 + above, G, parse_chord(chord, 7))
        assert heard.blue
        assert not heard.outside


def test_a_tone_of_the_chord_may_be_a_blue_note_too() -> None:
    heard = tone(70, G, parse_chord("IV7", 7), "C7")  # Bb
    assert (heard.role, heard.in_chord, heard.blue) == (Role.SEVENTH, True, True)
    assert heard.why == "the seventh of C7 and the blue third of the key"


@pytest.mark.parametrize(
    ("pitch_class", "chord", "why"),
    [
        (11, "I7", "the third of G7"),
        (10, "I7", "the blue third of the key over G7"),
        (11, "IV7", "outside C7, the major seventh above its root"),
        (9, "IV7", "the sixth over C7"),
        (7, "V7", "the fourth over D7"),
    ],
)
def test_reasons(pitch_class: int, chord: str, why: str) -> None:
    assert tone(60 + pitch_class, G, parse_chord(chord, 7)).why == why


def test_minor_has_its_own_third_and_seventh() -> None:
    assert [role(note, "i7", D_MINOR) for note in (5, 0)] == [Role.THIRD, Role.SEVENTH]
    assert role(8, "i7", D_MINOR) is Role.BLUE  # the flat fifth
    assert role(6, "i7", D_MINOR) is Role.OUTSIDE  # the major third
    assert role(1, "V7", D_MINOR) is Role.THIRD  # the leading note
    assert role(0, "V7", D_MINOR) is Role.OUTSIDE  # and not the one below it


def test_without_a_chord_the_key_alone_speaks() -> None:
    heard = [tone(60 + note, G, None) for note in (7, 10, 1, 4, 6, 8)]
    assert [(tone.role.value, tone.degree, tone.why) for tone in heard] == [
        ("scale note", "1", "1 of the key"),
        ("blue note", "b3", "the blue third of the key"),
        ("blue note", "b5", "the blue fifth of the key"),
        ("scale note", "6", "6 of the key"),
        ("outside", "7", "7 of the key"),
        ("outside", "b2", "b2 of the key"),
    ]
    assert {tone.chord_degree for tone in heard} == {""}


@given(midis, st.integers(0, 11), st.sampled_from(sorted(QUALITIES)), st.integers(0, 11))
def test_transposing_everything_changes_no_role(
    midi: int, root: int, quality: str, up: int
) -> None:
    plain = tone(midi, G, Chord(root, quality), "it")
    home = Home((G.key + up) % 12, G.minor, G.scale)
    moved = tone(midi + up, home, Chord((root + up) % 12, quality), "it")
    assert (moved.role, moved.degree, moved.chord_degree) == (
        plain.role,
        plain.degree,
        plain.chord_degree,
    )
    assert moved.why == plain.why


@given(midis, st.integers(0, 11), st.sampled_from(sorted(QUALITIES)))
def test_a_tone_of_the_chord_is_never_outside(midi: int, root: int, quality: str) -> None:
    heard = tone(midi, G, Chord(root, quality))
    assert heard.in_chord == ((midi - root) % 12 in QUALITIES[quality])
    assert not (heard.in_chord and heard.outside)
    assert heard.degree == degree_of(midi, 7)
