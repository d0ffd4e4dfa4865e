"""Tab tokens: read, written, read again; and what is not one."""

from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from reedwright.errors import TokenError
from reedwright.harp.note import Breath, TabNote
from reedwright.tune.marks import Mark, MarkKind
from reedwright.tune.tokens import MAX_TOKEN, format_rate, format_sound, parse_sound
from reedwright.tune.values import Sound
from tests.strategies import rates, sounds

D, B = Breath.DRAW, Breath.BLOW


@given(sounds, st.booleans())
def test_what_is_written_is_read(sound: Sound, signed: bool) -> None:
    assert parse_sound(format_sound(sound, signed), signed) == sound


@given(sounds, st.booleans(), st.integers(1, 4000))
def test_the_column_is_kept_and_does_not_count(sound: Sound, signed: bool, column: int) -> None:
    read = parse_sound(format_sound(sound, signed), signed, column)
    assert (read, read.column) == (sound, column)


@given(rates)
@example(Fraction(1, 8))
@example(Fraction(333, 1000))
@example(Fraction(17, 3))
@example(Fraction(10))
def test_rates_are_exact(rate: Fraction) -> None:
    sound = Sound((TabNote(4, D),), marks=(Mark(MarkKind.THROAT, rate),))
    assert parse_sound(f"4dv{format_rate(rate)}") == sound


@pytest.mark.parametrize(
    ("rate", "text"),
    [("3", "@3"), ("10", "@10"), ("3/2", "@1.5"), ("1/8", "@0.125"), ("4/3", "@4/3"), ("0", "")],
)
def test_rates_are_written_as_one_would_say_them(rate: str, text: str) -> None:
    assert format_rate(Fraction(rate)) == text


@pytest.mark.parametrize(
    ("token", "notes"),
    [
        ("4d", [(4, D, 0)]),
        ("3d''", [(3, D, 2)]),
        ("1+2d", [(1, D, 0), (2, D, 0)]),
        ("1d+4d", [(1, D, 0), (4, D, 0)]),
        ("4+1d", [(1, D, 0), (4, D, 0)]),
        ("2d''+3d", [(2, D, 2), (3, D, 0)]),
        ("2''+3d", [(2, D, 2), (3, D, 0)]),
        ("1b+2d", [(1, B, 0), (2, D, 0)]),
        ("1+2d+3b", [(1, D, 0), (2, D, 0), (3, B, 0)]),
        ("3d’’", [(3, D, 2)]),
        ("3d′", [(3, D, 1)]),
        ('3d"', [(3, D, 2)]),
        ("3d”'", [(3, D, 3)]),
    ],
)
def test_plain_tab(token: str, notes: list[tuple[int, Breath, int]]) -> None:
    assert parse_sound(token).notes == tuple(TabNote(*note) for note in notes)


@pytest.mark.parametrize(
    ("token", "notes"),
    [
        ("4", [(4, B, 0)]),
        ("+4", [(4, B, 0)]),
        ("-4'", [(4, D, 1)]),
        ("−4’", [(4, D, 1)]),
        ("–4", [(4, D, 0)]),
        ("-1,2,3", [(1, D, 0), (2, D, 0), (3, D, 0)]),
        ("1,-2", [(1, B, 0), (2, D, 0)]),
        ("-1,+2", [(1, D, 0), (2, B, 0)]),
    ],
)
def test_signed_tab(token: str, notes: list[tuple[int, Breath, int]]) -> None:
    assert parse_sound(token, signed=True).notes == tuple(TabNote(*note) for note in notes)


def test_overbends_and_the_button() -> None:
    assert parse_sound("6o").notes == (TabNote(6, B, over=True),)
    assert parse_sound("7o").notes == (TabNote(7, D, over=True),)
    assert parse_sound("-7o", signed=True).notes == (TabNote(7, D, over=True),)
    assert parse_sound("3b*").notes == (TabNote(3, B, button=True),)
    assert parse_sound("1*+2d").notes == (TabNote(1, D, button=True), TabNote(2, D))


def test_every_mark_at_once() -> None:
    sound = parse_sound(r"(//3>6bvh@2w@1.5fspt\!)")
    kinds = {mark.kind: mark.amount for mark in sound.marks}
    assert tuple(kinds) == tuple(MarkKind)
    amounts: dict[MarkKind, Fraction | int]
    amounts = {MarkKind.DIP: 2, MarkKind.RAKE: 3, MarkKind.HAND: 2, MarkKind.FALL: 1}
    amounts[MarkKind.WAH] = Fraction(3, 2)
    assert {kind: amount for kind, amount in kinds.items() if amount} == amounts
    assert format_sound(sound) == r"(//3>6bvh@2w@1.5fspt\!)"


def test_a_shake_keeps_the_order_of_its_notes() -> None:
    assert parse_sound("5x4d@3").reeds == (TabNote(5, D), TabNote(4, D))
    assert format_sound(parse_sound("5dx4d@3")) == "5x4d@3"


@pytest.mark.parametrize(
    "token", ["٣d", "4d@٣", "３d", "²d", "1+②d", "१d", "4d\n", "", " 4d", "4 d"]
)
def test_only_plain_figures_are_read(token: str) -> None:
    with pytest.raises(TokenError):
        parse_sound(token)


@given(st.text("0123456789bdox+@/\\'()!vhwfspt*,.-", max_size=100), st.booleans())
def test_nearly_tab_is_a_sound_or_an_error(token: str, signed: bool) -> None:
    try:
        sound = parse_sound(token, signed)
    except TokenError as error:
        (problem,) = error.problems
        assert problem.rule
        assert problem.mend
        return
    assert parse_sound(format_sound(sound, signed), signed) == sound


def test_a_long_token_is_not_looked_into() -> None:
    with pytest.raises(TokenError, match="cannot read '4d!!!"):
        parse_sound("4d" + "!" * MAX_TOKEN)


@pytest.mark.parametrize("token", ["-3''''''", "1,-2''''''", "-3x4''''''"])
def test_a_bend_too_deep_is_told_in_a_signed_file_too(token: str) -> None:
    with pytest.raises(TokenError, match="at most 5 semitones"):
        parse_sound(token, signed=True)
