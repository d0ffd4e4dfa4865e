"""Marks, cup and loudness as values."""

from fractions import Fraction

import pytest

from reedwright.errors import TuneError
from reedwright.tune.marks import MAX_RATE, RATED, Cup, Loudness, Manner, Mark, MarkKind


def test_later_words_win_and_silence_keeps() -> None:
    loud = Manner(Cup.CLOSED, Loudness.LOUD)
    assert loud.then(Manner()) == loud
    assert loud.then(Manner(cup=Cup.OPEN)) == Manner(Cup.OPEN, Loudness.LOUD)
    assert Manner().then(loud) == loud


def test_every_mark_has_a_word_and_a_sign_of_its_own() -> None:
    assert len({kind.word for kind in MarkKind}) == len({kind.value for kind in MarkKind}) == 12
    assert all(len(kind.value) == 1 for kind in MarkKind)


@pytest.mark.parametrize(
    ("kind", "amount"),
    [
        (MarkKind.DIP, Fraction(0)),
        (MarkKind.FALL, Fraction(6)),
        (MarkKind.DIP, Fraction(1, 2)),
        (MarkKind.RAKE, Fraction(17)),
        (MarkKind.ACCENT, Fraction(1)),
        (MarkKind.WAH, Fraction(MAX_RATE) + Fraction(1, 1000)),
        (MarkKind.WAH, Fraction(-1)),
    ],
)
def test_amounts_that_cannot_be(kind: MarkKind, amount: Fraction) -> None:
    with pytest.raises(TuneError, match=f"a {kind.word} of {amount}"):
        Mark(kind, amount)


def test_only_vibrato_and_wah_have_a_rate() -> None:
    assert {MarkKind.THROAT, MarkKind.HAND, MarkKind.WAH} == RATED
    assert all(Mark(kind, Fraction(3, 2)).amount == Fraction(3, 2) for kind in RATED)
