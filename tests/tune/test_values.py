"""What is written in a tune file, as values."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import TuneError
from reedwright.harp.note import Breath, TabNote
from reedwright.tune.marks import Mark, MarkKind
from reedwright.tune.values import (
    Borrow,
    Cell,
    Chorus,
    Comment,
    Entry,
    Header,
    Lick,
    Remark,
    Rest,
    Sound,
    TuneText,
    slug,
)

NOTE = TabNote(4, Breath.DRAW)


@given(st.text())
def test_a_slug_is_plain_and_settled(name: str) -> None:
    plain = slug(name)
    assert all(char.isascii() and (char.isalnum() or char == "-") for char in plain)
    assert plain == plain.lower()
    assert slug(plain) == plain


def test_slugs() -> None:
    assert slug("Été, slow") == "ete-slow"
    assert slug("Turn 2") == slug(" turn-2 ") == "turn-2"
    assert slug("Привет") == ""


def test_places_do_not_count() -> None:
    assert Sound((NOTE,), column=3) == Sound((NOTE,), column=9)
    assert Lick("A", line=1) == Lick("A", line=2)
    assert Header("A", "b", 1, 2) == Header("A", "b")


@pytest.mark.parametrize(
    "make",
    [
        lambda: Sound(()),
        lambda: Sound((NOTE, TabNote(5, Breath.DRAW)), TabNote(6, Breath.DRAW)),
        lambda: Sound((NOTE,), TabNote(5, Breath.DRAW), Fraction(17)),
        lambda: Cell(()),
        lambda: Cell((Rest(),) * 13),
        lambda: Borrow(3, 2, "A"),
        lambda: Borrow(1, 2, "A", 3, 2),
        lambda: Borrow(1, 2, "A", 3),
        lambda: Entry(1, "A", times=0),
        lambda: Entry(1, "A", from_beat=2),
        lambda: Entry(1, "A", to_beat=2),
        lambda: Chorus((), 0),
    ],
)
def test_values_that_cannot_be(make: object) -> None:
    assert callable(make)
    with pytest.raises(TuneError):
        make()


def test_marks_reeds_and_breath_of_a_sound() -> None:
    shake = Sound((NOTE,), TabNote(5, Breath.DRAW), Fraction(3), (Mark(MarkKind.ACCENT),))
    assert shake.mark(MarkKind.ACCENT) == Mark(MarkKind.ACCENT)
    assert shake.mark(MarkKind.WAH) is None
    assert [str(note) for note in shake.reeds] == ["4d", "5d"]
    assert shake.breath is Breath.DRAW


def test_blocks_apart() -> None:
    lick = Lick("A", lines=(Remark("slow"), Comment("why")))
    chorus = Chorus((Entry(1, "A"), Remark("all")))
    text = TuneText((), (lick, chorus))
    assert (text.licks, text.choruses) == ((lick,), (chorus,))
    assert (lick.remarks, chorus.entries) == (("slow",), (Entry(1, "A"),))
    assert Entry(1, "").is_rest
