"""Tab notes and their tokens."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import TokenError
from reedwright.harp.note import Breath, TabNote, parse_note
from tests.strategies_harp import tab_notes


@given(tab_notes)
def test_written_and_read_is_the_same(note: TabNote) -> None:
    assert parse_note(str(note)) == note


@pytest.mark.parametrize(
    ("token", "note"),
    [
        ("4b", TabNote(4, Breath.BLOW)),
        ("10d", TabNote(10, Breath.DRAW)),
        ("3d'''", TabNote(3, Breath.DRAW, bend=3)),
        ("6bo", TabNote(6, Breath.BLOW, over=True)),
        ("7o", TabNote(7, Breath.DRAW, over=True)),
        ("12d*", TabNote(12, Breath.DRAW, button=True)),
    ],
)
def test_tokens(token: str, note: TabNote) -> None:
    assert parse_note(token) == note


def test_a_chord_gives_its_breath_to_a_bare_hole() -> None:
    assert parse_note("3", Breath.DRAW) == TabNote(3, Breath.DRAW)
    assert parse_note("3b", Breath.DRAW) == TabNote(3, Breath.BLOW)


@pytest.mark.parametrize(
    "token",
    ["", "b", "4", "0b", "04b", "4B", "4bb", "-4", "4b'o", "4 b", "٤b", "4b\n", "x" * 10**6],
)
def test_other_tokens_are_refused_with_the_rule(token: str) -> None:
    with pytest.raises(TokenError) as caught:
        parse_note(token)
    message = str(caught.value)
    assert "is not a tab note. A tab note is a hole number, b (blow) or d (draw)" in message
    assert len(message) < 250


@pytest.mark.parametrize("token", ["17b", "99d", "3d''''''", "3d" + "'" * 5000])
def test_numbers_out_of_range_name_the_range(token: str) -> None:
    with pytest.raises(TokenError, match="Holes run from 1 to 16, bends from 0 to 5 semitones"):
        parse_note(token)


def test_a_bend_and_an_overbend_exclude_each_other() -> None:
    with pytest.raises(TokenError, match="a bend and an overbend at once"):
        parse_note("6bo'")


@given(st.text(alphabet="0123456789bdo'* +", max_size=12))
def test_any_row_of_signs_is_read_or_refused(text: str) -> None:
    try:
        note = parse_note(text)
    except TokenError:
        return
    assert parse_note(str(note)) == note


def test_natural_takes_bend_and_overbend_away() -> None:
    assert parse_note("3d''").natural() == parse_note("3d")
    assert parse_note("6bo").natural() == parse_note("6b")
