"""The plain-text sheet: one whole sheet by eye, and what holds of every tune."""

import re
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.sheet.options import SheetOptions, TabStyle
from reedwright.sheet.tabstyle import tab_lines, technique
from reedwright.sheet.text import WIDTH, sheet_text
from reedwright.sheet.textline import Run, Slot, drawn_line, music_lines, stacked
from reedwright.sheet.words import words
from reedwright.tune.place import Score
from reedwright.tune.tokens import parse_sound
from tests.performance.tunes import tune_texts as plain_tunes
from tests.sheet.tunes import GATE, bar_of, score_of, tune_texts

MUSIC = r"""
The Gate
========
A. Teacher

Harp      A, second (cross) position, in E
Meter     4/4, shuffle
Tempo     60, 104 beats a minute
Tab       -4 draw, 4 blow, ' bent a half step, stacked holes together, 1-4 holes
          1 to 4 together, / glide into the note, \ fall off it, ( ) ghost note,
          = hold, . rest, ! accent, shake: to and fro between two holes,
          vib: throat vibrato, ×3: 3 a beat
Remark    Keep it easy
Rights    Free to copy

Form: 4 bars
| E7    | A7 B7 | E7    | E7    |

Chorus 1
--------

> Call: Breathe low.
       Call (cup closed, loud)              (cup open, soft)
                   E7               A7         B7
     3 &  4   &  | 1   2 3   &  4 | 1  &  2 3  4    |
  0  . -2 -3' -3 | /-4 = -3' -2 . | -2 -2 . -5 (-4) |
                 |                | -1 -1   -4      |
                   vib                      shake ×3

     Train, 2 times (medium)                   Call (cup closed, loud)
     E7
     1   & 2  &  a    3 4 | 1   & 2  &  a    3 &  4   &  |
  3  1-4 4 -4 -5 -4\! . . | 1-4 4 -4 -5 -4\! . -2 -3' -3 |
         1                |     1                        |
"""


def test_a_whole_sheet() -> None:
    text = sheet_text(score_of(GATE))
    music, _, rest = text.partition("\nChorus 2\n")
    assert music.rstrip("\n").split("\n") == MUSIC.strip("\n").split("\n")
    assert "blow           A3  C#4   E4" in rest
    assert text.endswith(words()["cautions"]["harp"] + "\n")


@pytest.mark.parametrize(
    ("token", "signs", "arrows", "letters"),
    [
        ("4d", ["-4"], ["↓4"], ["4d"]),
        ("4b", ["4"], ["↑4"], ["4b"]),
        ("3d''", ["-3''"], ["↓3''"], ["3d''"]),
        ("6bo", ["6o"], ["↑6o"], ["6bo"]),
        ("7do", ["-7o"], ["↓7o"], ["7do"]),
        ("3b*", ["3*"], ["↑3*"], ["3b*"]),
        ("1+2d", ["-2", "-1"], ["↓2", "↓1"], ["2d", "1d"]),
        ("2d''+3d", ["-3", "-2''"], ["↓3", "↓2''"], ["3d", "2d''"]),
        ("1+4b", ["4", "1"], ["↑4", "↑1"], ["4b", "1b"]),
        ("2+3+4+5d", ["-2–5"], ["↓2–5"], ["2–5d"]),
        ("1+2+4+5b", ["5", "4", "2", "1"], ["↑5", "↑4", "↑2", "↑1"], ["5b", "4b", "2b", "1b"]),
        ("5x4d", ["-5", "-4"], ["↓5", "↓4"], ["5d", "4d"]),
        ("(/4d\\)", ["(/-4\\)"], ["(/↓4\\)"], ["(/4d\\)"]),
        ("1b+2b+3b+4b'+5b+6b+7b+9b", *[["1+2+3+4'+5+6+7+9"]], ["↑1+↑2+↑3+↑4'+↑5+↑6+↑7+↑9"],
         ["1b+2b+3b+4b'+5b+6b+7b+9b"]),
    ],
)  # fmt: skip
def test_tab_styles(token: str, signs: list[str], arrows: list[str], letters: list[str]) -> None:
    sound = parse_sound(token)
    expected = (signs, arrows, letters)
    for style, lines in zip(TabStyle, expected, strict=True):
        assert list(tab_lines(sound, style)) == lines


def test_words_on_technique() -> None:
    assert technique(parse_sound("4x5d@3")) == "shake ×3"
    assert technique(parse_sound("4x5d")) == "shake"
    assert technique(parse_sound("2>4dv@2wfspt!")) == "rake 2 vib ×2 wah flutter slap pull tongue"
    assert technique(parse_sound("(/4d\\!)")) == ""


def test_counts_follow_the_split_of_the_beat() -> None:
    text = sheet_text(bar_of("4d&5d 4d&5d&4d 4d&5d&4d&5d 4d&=&=&5d&4d"))
    assert "     1  &  2  &  a  3  e  &  a  4        |\n" in text


def test_breaths_are_marked_and_explained() -> None:
    score = bar_of("4b 4b . .")
    text = sheet_text(score, SheetOptions(breath_marks=frozenset({score.events[1].id})))
    assert "  1  4 4^ . . |" in text
    assert "^ breathe" in text
    assert "^ breathe" not in sheet_text(score)


def test_options_are_heeded() -> None:
    score = score_of(GATE)
    assert "Breathe low." not in sheet_text(score, SheetOptions(remarks=False))
    assert "\nTempo     72 beats" in sheet_text(score, SheetOptions(tempo_bpm=Fraction(72)))
    one = sheet_text(bar_of("4b . . . | 4d . . . | 5b . . ."), SheetOptions(bars_per_line=1))
    assert [n for n in "123" if re.search(rf"^  {n}  ", one, re.MULTILINE)] == ["1", "2", "3"]


def test_a_bar_wider_than_the_page_goes_on_before_a_beat() -> None:
    text = sheet_text(bar_of(" ".join(["3d'''&2d''&3d'''&2d''&3d'''&2d''"] * 4)))
    lines = [line for line in text.split("\n") if "-3'''" in line]
    assert [line.count("-3'''") for line in lines] == [6, 6]
    assert [line.endswith("|") for line in lines] == [False, True]
    assert [line[:5] for line in lines] == ["  1  ", "     "]


def test_a_beat_wider_than_the_page_is_broken_too() -> None:
    slots = tuple(Slot(count="1" * (at == 0), tab=("x" * 30,)) for at in range(5))
    lines = music_lines([Run("7", slots)], WIDTH)
    drawn = [drawn_line(line, WIDTH) for line in lines]
    assert [row[-1].count("x" * 30) for row in drawn] == [2, 2, 1]


def test_bars_are_shared_out_evenly() -> None:
    bars = [Run(str(n), (Slot(tab=("x" * 16,)),)) for n in range(5)]
    assert [len(line) for line in music_lines(bars, WIDTH)] == [3, 2]
    assert [len(line) for line in music_lines(bars[:3], WIDTH)] == [3]


def test_words_that_would_meet_go_a_row_on() -> None:
    assert stacked([(0, "one"), (2, "two"), (9, "three")], 12) == ["one    three", "  two"]
    assert stacked([(10, "over the edge")], 14) == [" over the edge"]
    assert stacked([(0, "a long row of words")], 10) == ["a long row", "of words"]
    assert stacked([(3, "")], 10) == []


@given(tune_texts(), st.sampled_from(TabStyle), st.integers(1, 8))
def test_never_wider_than_the_page(tune: str, style: TabStyle, per_line: int) -> None:
    score = score_of(tune)
    long = replace(score.tune, title=score.tune.title * 7, by="A name " * 30)
    text = sheet_text(replace(score, tune=long), SheetOptions(style, per_line))
    lines = text.split("\n")
    assert max(map(len, lines)) <= WIDTH
    assert all(line == line.rstrip() for line in lines)
    assert "\n\n\n" not in text
    numbers = re.findall(r"^ {1,2}(\d{1,2})  ", text, re.MULTILINE)
    assert numbers[0] == ("0" if score.has_pickup else "1")


@given(plain_tunes(tokens=("4d", "3d'", "2d''", "10b", "6bo")), st.sampled_from(TabStyle))
def test_all_tab_stands_in_order(text: str, style: TabStyle) -> None:
    score = score_of(text)
    said = [token for row in tab_rows(score, style) for token in row.split() if token not in "=.|"]
    assert said == [tab_lines(event.sound, style)[0] for event in score.events]


def tab_rows(score: Score, style: TabStyle) -> list[str]:
    """The rows of tab, without the number of the bar: each follows a row of counts."""
    lines = sheet_text(score, SheetOptions(style)).split("\n")
    counts = re.compile(r" {5}[1-9&ea][1-9&ea| ]*")
    return [below[5:] for above, below in pairwise(lines) if counts.fullmatch(above)]
