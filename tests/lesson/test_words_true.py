"""Every statement is true of the score: worked out again from the notes, kind by kind."""

from itertools import pairwise

import pytest
from hypothesis import given

from reedwright.lesson.study import Study, study
from reedwright.lesson.words.speech import Sentence, tune_words
from reedwright.tune.place import Score
from tests.lesson.taught import DEMOS, demo, many_licks
from tests.lesson.truths import untrue
from tests.strategies import placed_tunes


def check(found: Study) -> None:
    words = tune_words(found)
    for one in found.pieces:
        assert untrue(found, one.piece, words.pieces[one.piece.id]) == []


@pytest.mark.parametrize("name", DEMOS)
def test_demo_tunes(name: str) -> None:
    check(demo(name))


@given(placed_tunes())
def test_any_tune(score: Score) -> None:
    check(study(score))


@pytest.mark.parametrize("alike", [False, True])
def test_many_licks(alike: bool) -> None:
    check(many_licks(120, alike=alike))


@pytest.mark.parametrize("name", DEMOS)
def test_what_is_said_of_another_piece_is_mostly_not_true(name: str) -> None:
    """The judge can find a lie: hardly any piece's own words hold for the piece after it."""
    found = demo(name)
    words, pieces = tune_words(found), found.pieces
    judged = 0
    for one, other in pairwise(pieces):
        said: tuple[Sentence, ...] = words.pieces[one.piece.id]
        own = [
            s for s in said if s.kind.split(".")[0] in ("role", "fault", "hands", "force", "air")
        ]
        judged += bool(untrue(found, other.piece, own))
    assert judged >= len(pieces) - 1
