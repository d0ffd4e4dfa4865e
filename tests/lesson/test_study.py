"""All of the lesson room in one go, on the demo tunes and on random ones."""

from pathlib import Path

import pytest
from hypothesis import given

from reedwright.lesson.cuts import Cut, Cuts
from reedwright.lesson.difficulty import difficulty_of
from reedwright.lesson.ladder import tempo_ladder
from reedwright.lesson.study import study
from reedwright.tune.load import load_tune
from reedwright.tune.place import Score, place
from tests.lesson.scores import of_bars
from tests.strategies import placed_tunes

DEMOS = sorted((Path(__file__).resolve().parents[2] / "demo").glob("*.reed"))


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_the_demo_tunes(path: Path) -> None:
    score = place(load_tune(path))
    found = study(score, level="beginner")
    assert found.difficulty == difficulty_of(score)
    assert found.ladder == tempo_ladder(score)
    assert found.findings == ()
    assert [one.line.slug for one in found.licks] == list(score.tune.licks)
    for one in found.licks:
        pieces = found.pieces_of(one.line.slug)
        assert len(pieces) > 1 or len(one.line.events) < 7
        for piece in pieces:
            assert piece.difficulty.number <= one.difficulty.number
            assert piece.practice.effort > 0
            assert all(relation.later == piece.piece.id for relation in piece.relations)


def test_the_demo_tunes_stand_in_the_order_of_their_students() -> None:
    """The levels in the headers are the authors' own: improver, steady, steady, advanced."""
    scores = [place(load_tune(path)) for path in DEMOS]
    by_number = sorted(scores, key=lambda score: difficulty_of(score).number)
    assert [score.tune.student for score in by_number] == [
        "improver",
        "steady",
        "steady",
        "advanced",
    ]


def test_findings_about_cuts_are_handed_on() -> None:
    found = study(of_bars("2d 3d . ."), Cuts((Cut("gone:1.1.1@1.1"),)))
    assert [finding.check for finding in found.findings] == ["cuts"]


def test_a_tune_of_rests_and_a_tune_of_one_note() -> None:
    silent = study(of_bars(". . . ."))
    assert (silent.licks, silent.pieces, silent.difficulty.number) == ((), (), 0.0)
    one = study(of_bars("4d . . ."))
    assert [piece.practice.notes for piece in one.pieces] == [1]


@given(placed_tunes())
def test_any_tune_can_be_studied_and_twice_alike(score: Score) -> None:
    found = study(score)
    assert found == study(score)
    for piece in found.pieces:
        assert 0.0 < piece.practice.fresh <= 1.0
