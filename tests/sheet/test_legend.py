"""The legend: every sign and word of a tune's tab is explained, and no other. No outside source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.sheet.legend import TIED, Kind, legend
from reedwright.sheet.lesson import sheet_document
from reedwright.sheet.options import SheetOptions, TabStyle
from reedwright.sheet.tabstyle import tab_lines, technique
from reedwright.sheet.text import sheet_text
from reedwright.tune.place import Score
from tests.sheet.tunes import bar_of, tune_texts
from tests.sheet.tunes import score_of as read


def said(score: Score, style: TabStyle = TabStyle.SIGNS, kind: Kind = "print") -> list[str]:
    return legend(score, SheetOptions(tab=style), kind).replace(TIED, " ").split(", ")


def of(token: str, **header: str) -> list[str]:
    """What the legend adds for one sound to that of a plain draw and a plain blow."""
    plain, *more = said(bar_of(f"4d 4b {token} .", **header)), ["-4 draw", "4 blow"]
    assert plain[:2] == more[0]
    return plain[2:]


def test_plain_notes_and_only_the_breaths_that_are_played() -> None:
    assert said(bar_of("4d 5d . .")) == ["-4 draw"]
    assert said(bar_of("4b . . .")) == ["4 blow"]
    assert said(bar_of("4b 4d . ."), TabStyle.ARROWS) == ["↓4 draw", "↑4 blow"]
    assert said(bar_of("4b 4d . ."), TabStyle.LETTERS) == ["4d draw", "4b blow"]
    assert legend(bar_of(". . . ."), SheetOptions(), "print") == ""


@pytest.mark.parametrize(
    ("token", "added"),
    [
        ("3d'", ["' bent a half step"]),
        ("3d''", ["'' bent a whole step"]),
        ("3d'''", ["''' bent 3 half steps"]),
        ("6bo", ["o overbend"]),
        ("1+2d", ["stacked holes together"]),
        ("1+4b", ["stacked holes together"]),
        ("2+3+4+5d", ["-2–5 holes 2 to 5 together"]),
        ("/4d", ["/ glide into the note"]),
        ("4d\\", ["\\ fall off it"]),
        ("(4d)", ["( ) ghost note"]),
        ("4d!", ["> accent"]),
        ("4x5d", ["shake: to and fro between two holes"]),
        ("4x5d@3", ["shake: to and fro between two holes", "×3: 3 a beat"]),
        ("2>4d", ["rake 2: sweep in from hole 2"]),
        ("4dv", ["vib: throat vibrato"]),
        ("4dh@4", ["hand vib: hand vibrato", "×4: 4 a beat"]),
        ("4dw", ["wah: hand wah"]),
        ("4df", ["flutter: with the tongue"]),
        ("4ds", ["slap: tongue slap"]),
        ("4dp", ["pull: tongue pull"]),
        ("4dt", ["tongue: tongue block"]),
    ],
)
def test_a_sign_is_explained_where_it_is_used(token: str, added: list[str]) -> None:
    assert of(token) == added


def test_the_button_and_many_holes_on_one_line() -> None:
    assert of("3b*", Tuning="slide") == ["* button in"]
    assert of("1b+2b+3b+4b+5b+6b+7b+9b") == ["+ together"]


def test_depths_stand_in_order_and_are_bent_once() -> None:
    assert of("3d'''&3d''&3d'") == ["' bent a half step", "'' a whole step", "''' 3 half steps"]


def test_a_range_is_shown_as_the_tab_has_it() -> None:
    score = bar_of("1+2+3+4d . . .")
    assert said(score, TabStyle.ARROWS)[-1] == "↓1–4 holes 1 to 4 together"
    assert said(score, TabStyle.LETTERS)[-1] == "1–4d holes 1 to 4 together"
    assert said(score, kind="text")[-1] == "-1-4 holes 1 to 4 together"


def test_breath_and_accent_have_the_signs_of_their_sheet() -> None:
    score = bar_of("4d! 4d . .")
    options = SheetOptions(breath_marks=frozenset({score.events[0].id}))
    printed, plain = (legend(score, options, kind) for kind in ("print", "text"))
    assert printed.replace(TIED, " ") == "-4 draw, > accent, comma: breathe"
    assert plain.replace(TIED, " ") == "-4 draw, ! accent, ^ breathe"


def test_text_explains_hold_and_rest_where_they_stand() -> None:
    assert "Tab       -4 draw, = hold, . rest\n" in sheet_text(bar_of("4d = . ."))
    assert "Tab       -4 draw\n" in sheet_text(bar_of("4d 4d 4d 4d"))
    assert TIED not in sheet_text(bar_of("(4d) = . ."))


def test_a_sign_stays_on_the_line_of_its_first_word() -> None:
    entries = legend(bar_of("(4d) 2>4d 1+2+3+4d ."), SheetOptions(), "print").split(", ")
    assert entries[0] == f"-4{TIED}draw"
    assert f"({TIED}){TIED}ghost note" in entries
    assert f"rake{TIED}2: sweep in from hole 2" in entries


def test_print_has_the_real_signs_and_a_silent_tune_no_legend() -> None:
    facts = dict(sheet_document(bar_of("4d' . . ."), (), SheetOptions()).facts)
    assert facts["Tab"].replace(TIED, " ") == "−4 draw, ′ bent a half step"
    assert "Tab" not in dict(sheet_document(bar_of(". . . ."), (), SheetOptions()).facts)


@given(tune_texts(), st.sampled_from(TabStyle))
def test_every_sign_of_any_tune_is_explained(text: str, style: TabStyle) -> None:
    score = read(text)
    entries = said(score, style)
    lines = "".join(line for event in score.events for line in tab_lines(event.sound, style))
    for sign, start in (("'", "'"), ("*", "* "), ("/", "/ "), ("\\", "\\ "), ("(", "( ) ")):
        assert (sign in lines) == any(entry.startswith(start) for entry in entries)
    words = {technique(event.sound).split(" ")[0] for event in score.events} - {""}
    assert all(any(entry.startswith(word) for entry in entries) for word in words)
