"""The wording file: complete, speakable, and refused in plain words when it is not."""

import re
from importlib.resources import files

import pytest

from reedwright.errors import SettingError
from reedwright.lesson.words.speech import event_words, piece_words
from reedwright.lesson.words.wording import SENTENCES, VOCABULARY, read_wording, wording
from reedwright.tune.place import place
from reedwright.tune.read import read_tune
from tests.lesson.taught import demo

TEXT = files("reedwright.lesson").joinpath("data", "words-en.toml").read_text(encoding="utf-8")
EVERY_PIECE = ("begin", "first", "alike", "role", "air", "hands", "force")
LAST_RESORT = ("fault.single", "fault.chord", "fault.split", "fault.shake")


def test_every_section_is_there() -> None:
    words = wording()
    assert set(words.words) == set(VOCABULARY)
    assert {kind.split(".")[0] for kind in words.templates} == set(SENTENCES)


def test_seven_ways_of_what_may_come_in_every_piece() -> None:
    for kind, ways in wording().templates.items():
        if kind.split(".")[0] in EVERY_PIECE or kind in LAST_RESORT:
            assert len(ways) >= 7, kind


def test_no_sentence_stands_twice_in_a_kind() -> None:
    for ways in wording().templates.values():
        assert len({way.text for way in ways}) == len(ways)


def test_sentences_are_short_and_whole() -> None:
    """A capital or a gap at the start, a stop at the end; twenty words of the wording's own at
    most (from memory: what is said in one breath)."""
    for ways in wording().templates.values():
        for way in ways:
            assert re.match(r"[A-Z{]", way.text), way.text
            assert way.text[-1] in ".!?", way.text
            assert "  " not in way.text
            assert len(re.sub(r"{\w+}", "", way.text).split()) <= 20, way.text


@pytest.mark.parametrize(
    ("token", "said"),
    [
        ("4d", "4 draw"),
        ("4d'", "4 draw, half-step bend"),
        ("3d''", "3 draw, whole-step bend"),
        ("3d'''", "3 draw, step-and-a-half bend"),
        ("6bo", "6 overblow"),
        ("7do", "7 overdraw"),
        ("1+2d", "1-2 draw"),
        ("1+4d", "1-4 draw split"),
        ("4x5d", "a shake of 4 draw and 5 draw"),
        ("4d'!", "4 draw, half-step bend, accented"),
        ("4dv@5", "4 draw, with throat vibrato, 5 to the beat"),
        ("/4d", "4 draw, dipped in from a half step below"),
    ],
)
def test_event_words(token: str, said: str) -> None:
    score = place(read_tune(f"Title: T\nHarp: C\nPosition: 2\n\nLick A\n1: {token} . . .\n"))
    assert event_words(score.events[0]) == said


def test_unknown_language() -> None:
    with pytest.raises(SettingError, match="no words for the language 'xx'"):
        wording("xx")
    with pytest.raises(SettingError):
        wording("../en")


def test_a_file_with_missing_sections_is_told_all_of_them() -> None:
    with pytest.raises(SettingError, match=r"mine.toml has no word, depth, .*fault"):
        read_wording('language = "en"\n', "mine.toml")


def test_a_file_that_is_not_toml() -> None:
    with pytest.raises(SettingError, match=r"mine\.toml is not TOML"):
        read_wording("= 1", "mine.toml")


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('"Start with {notes}."', '"Start with {nots}."', "first.first.1"),
        ('"Start with {notes}."', '"Start with {notes."', "first.first.1"),
        ('"Start with {notes}."', "7", "first.first"),
        ('"Start with {notes}."', '"Start with {notes.x}."', "first.first.1"),
    ],
)
def test_a_sentence_that_cannot_be_filled(old: str, new: str, told: str) -> None:
    assert old in TEXT
    with pytest.raises(SettingError, match=re.escape(told)):
        read_wording(TEXT.replace(old, new), "mine.toml")


def test_a_word_that_is_missing_or_cannot_be_filled() -> None:
    text = TEXT.replace('note = "{hole} {breath}"', 'note = "{whole}"').replace(
        'draw = "draw"\n', ""
    )
    told = r"mine.toml: word.draw is missing; word.note cannot be filled"
    with pytest.raises(SettingError, match=told):
        read_wording(text, "mine.toml")


def test_another_language_is_another_file() -> None:
    """A tune told in other words: every sentence of the lesson comes from the file."""
    text = TEXT.replace('draw = "draw"', 'draw = "zieh"').replace('"Start with', '"Los mit')
    words = read_wording(text, "words-xx.toml")
    found = demo("the-ferry-was-late.reed")
    said = [
        sentence.text
        for one in found.pieces
        for sentence in piece_words(found, one, found.score.tune.full_tempo_bpm, words)
    ]
    assert any("4 zieh" in line for line in said)
    assert not any(re.search(r"\d draw", line) for line in said)
