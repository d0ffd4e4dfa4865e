"""No pattern too often, something of its own for every piece, little change by an edit."""

from collections import Counter
from collections.abc import Sequence

import pytest
from hypothesis import given

from reedwright.lesson.study import Study, study
from reedwright.lesson.words.speech import Sentence, TuneWords, tune_words
from reedwright.tune.place import Score
from tests.lesson.taught import DEMO, DEMOS, demo, many_licks, taught
from tests.lesson.truths import untrue
from tests.strategies import placed_tunes

_EXPLAINS = ("alike", "role", "air", "hands", "force", "fault")


def check_variety(words: TuneWords) -> None:
    """Of twenty pieces in a row, each pattern in at most three sentences; none twice in a piece."""
    pieces = list(words.pieces.values())
    for said in pieces:
        patterns = [one.pattern for one in said]
        assert len(set(patterns)) == len(patterns)
    for first in range(max(1, len(pieces) - 19)):
        heard = Counter(one.pattern for said in pieces[first : first + 20] for one in said)
        assert all(count <= 3 for count in heard.values()), heard.most_common(1)


def check_of_its_own(found: Study, words: TuneWords) -> None:
    """A sentence that explains something and does not hold for the pieces beside it."""
    pieces = [one.piece for one in found.pieces]
    for at, piece in enumerate(pieces):
        said = [one for one in words.pieces[piece.id] if one.kind.split(".")[0] in _EXPLAINS]
        for beside in (*pieces[max(0, at - 1) : at], *pieces[at + 1 : at + 2]):
            assert untrue(found, beside, said), [one.text for one in said]


@pytest.mark.parametrize("name", DEMOS)
def test_demo_tunes(name: str) -> None:
    found = demo(name)
    words = tune_words(found)
    check_variety(words)
    check_of_its_own(found, words)


@given(placed_tunes(most_licks=4))
def test_any_tune(score: Score) -> None:
    found = study(score)
    words = tune_words(found)
    check_variety(words)
    check_of_its_own(found, words)


@pytest.mark.parametrize("alike", [False, True])
def test_three_hundred_licks(alike: bool) -> None:
    found = many_licks(300, alike=alike)
    words = tune_words(found)
    check_variety(words)
    assert len(words.pieces) >= 300


def _kinds(said: Sequence[Sentence]) -> set[str]:
    return {one.kind.split(".")[0] for one in said}


@pytest.mark.parametrize("alike", [False, True])
def test_nothing_that_matters_is_left_out_for_variety(alike: bool) -> None:
    """Beginning, notes, hands, loudness, a reason and a fault: in every one of 300 pieces that
    begin a lick, and the likeness in every one that has one."""
    found = many_licks(300, alike=alike)
    words = tune_words(found)
    for one in found.pieces:
        kinds = _kinds(words.pieces[one.piece.id])
        assert kinds >= {"begin", "first", "role", "fault"}
        assert one.piece.number > 1 or kinds >= {"hands", "force"}
        assert bool(one.relations) == ("alike" in kinds)


def test_the_same_words_every_time() -> None:
    assert tune_words(demo(DEMOS[0])) == tune_words(demo(DEMOS[0]))


def test_an_edit_changes_little_elsewhere() -> None:
    """One note of the fourth lick: the licks before it are told word for word as they were, and of
    those after it four sentences in five."""
    text = (DEMO / "cellar-and-attic.reed").read_text(encoding="utf-8")
    assert "7b&6b 5b&4b 3b =" in text
    before = tune_words(taught(text)).pieces
    after = tune_words(taught(text.replace("7b&6b 5b&4b 3b =", "7b&6b 5b&4b 4b ="))).pieces
    assert list(before) == list(after)
    names = list(before)
    edited = next(n for n, name in enumerate(names) if name.startswith("door:"))
    for name in names[:edited]:
        assert before[name] == after[name]
    pairs = [
        (one.text, other.text)
        for name in names[edited + 1 :]
        for one, other in zip(before[name], after[name], strict=False)
    ]
    assert sum(one == other for one, other in pairs) >= 0.8 * len(pairs)


def test_no_licks() -> None:
    found = taught("Title: T\nHarp: C\nPosition: 2\n\nLick A\n1: . . . .\n")
    assert tune_words(found).pieces == {}
