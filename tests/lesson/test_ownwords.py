"""A teacher's own sentences: kept, in place, flagged when the tune changes under them."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import LessonError
from reedwright.lesson.load import load_own_words, save_own_words, words_path
from reedwright.lesson.ownwords import (
    OwnSentence,
    Sounds,
    changed,
    homeless,
    read,
    said,
    sounds_of,
    written,
)
from reedwright.lesson.study import study
from reedwright.lesson.words.speech import Sentence, tune_words
from reedwright.tune.place import place
from reedwright.tune.read import read_tune

HEAD = "Title: T\nHarp: C\nPosition: second\n\n"
LICK = "Lick A\n1: 2d 3d' 4d =\n2: 4b&3d 2d . .\n\nLick B\n1: 4d 5d 4d 2d\n"

LINE = st.text(st.characters(blacklist_categories=("C", "Z")) | st.just(" "), min_size=1)
OWN = st.builds(OwnSentence, LINE, LINE, st.lists(LINE, max_size=3).map(tuple), LINE, LINE)


Now = tuple[dict[str, tuple[Sentence, ...]], Sounds]


def now(text: str) -> Now:
    score = place(read_tune(HEAD + text))
    return dict(tune_words(study(score)).pieces), sounds_of(score)


@given(st.lists(OWN, max_size=5).map(tuple))
def test_what_is_written_is_read(own: tuple[OwnSentence, ...]) -> None:
    assert read(written(own)) == own


def test_a_sentence_stands_in_place_and_can_be_taken_back() -> None:
    tune = now(LICK)
    pieces = tune[0]
    piece = next(iter(pieces))
    own = changed(tune, (), piece, 0, "My words.")
    shown = said(*tune, own)[piece]
    assert (shown[0].text, shown[0].edited, shown[0].stale) == ("My words.", True, False)
    assert shown[0].own == pieces[piece][0].text
    assert [each.text for each in shown[1:]] == [each.text for each in pieces[piece][1:]]
    again = changed(tune, own, piece, 0, "Better words.")
    assert [each.text for each in again] == ["Better words."]
    assert changed(tune, again, piece, 0, None) == ()


def test_an_edit_elsewhere_leaves_it_and_one_under_it_flags_it() -> None:
    before = now(LICK)
    piece = next(iter(before[0]))
    at = next(number for number, each in enumerate(before[0][piece]) if each.kind == "first.first")
    own = changed(before, (), piece, at, "My words.")

    def mine(text: str) -> list[tuple[str, bool]]:
        shown = said(*now(text), own)[piece]
        return [(each.text, each.stale) for each in shown if each.edited]

    assert mine(LICK) == [("My words.", False)]
    assert mine(LICK.replace("4d 5d 4d 2d", "4d 5d 4d 3d")) == [("My words.", False)]
    assert mine(LICK.replace("1: 2d", "1: 1d")) == [("My words.", True)]
    assert mine(LICK.replace("4d =", "4d .")) == [("My words.", True)]


def test_a_sentence_whose_notes_are_gone_is_told_apart() -> None:
    before = now(LICK)
    piece = next(name for name in before[0] if name.startswith("b:"))
    own = changed(before, (), piece, 0, "My words.")
    after = now(LICK.split("\nLick B", maxsplit=1)[0])
    assert [each.text for each in homeless(after[0], own)] == ["My words."]
    assert all(not each.edited for shown in said(*after, own).values() for each in shown)
    assert homeless(before[0], own) == []


def test_what_is_not_there_cannot_be_written() -> None:
    tune = now(LICK)
    piece = next(iter(tune[0]))
    for name, index in (("nobody", 0), (piece, 99), (piece, -1)):
        with pytest.raises(LessonError, match="no such sentence"):
            changed(tune, (), name, index, "x")
    with pytest.raises(LessonError, match="a sentence that is none"):
        changed(tune, (), piece, 0, "two\nlines")


@pytest.mark.parametrize(
    "text", ["[", "x = 1", "sentence = 1", "[[sentence]]\npiece = 1", "[[sentence]]\n", "[" * 9999]
)
def test_a_spoilt_file_is_told_with_its_name(text: str) -> None:
    with pytest.raises(LessonError, match=r"t\.words"):
        read(text, "t.words")


def test_the_file_stands_beside_the_tune_and_goes_with_its_last_word(tmp_path: Path) -> None:
    tune = tmp_path / "a.b.reed"
    assert load_own_words(tune) == ()
    own = (OwnSentence("a:1", "role", ("a:1",), "Theirs.", 'Mine: “é” \\ "q".'),)
    save_own_words(tune, own)
    assert words_path(tune).name == "a.b.words"
    assert load_own_words(tune) == own
    save_own_words(tune, ())
    assert not words_path(tune).exists()
    words_path(tune).write_bytes(b"\xff")
    with pytest.raises(LessonError, match="not UTF-8"):
        load_own_words(tune)
