"""Music drawn again after an edit is the music drawn anew; only what changed is drawn."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from reedwright.sheet.engrave import engrave
from reedwright.sheet.musicxml import musicxml
from reedwright.sheet.options import SheetOptions
from reedwright.sheet.redraw import MOST_LINES, Redrawing
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune

DEMO = sorted((Path(__file__).parents[2] / "demo").glob("*.reed"))
OPTIONS = SheetOptions(remarks=False)
HEAD = "Title: T\nHarp: C\nPosition: second\n\n"


def score_of(text: str) -> Score:
    return place(read_tune(text))


def plain(picture: str) -> str:
    """Without the ids of events, and without the engraver's own, which are random (but for a
    seed) and differ with everything that was drawn before."""
    picture = re.sub(r' data-event="[^"]*"', "", picture)
    own = re.search(r'overflow="visible" id="(\w+)"', picture)
    assert own is not None
    return picture.replace(own[1], "X").replace(own[1][:7], "X")


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_an_edited_tune_looks_as_if_drawn_anew(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    drawing = Redrawing()
    for old, new in (("=", "="), ("4b", "4d"), ("3d", "2d"), ("4d", "4b")):
        text = re.sub(rf"(?<=[ &]){old}(?=[ &])", new, text, count=1)  # a whole note
        score = score_of(text)
        anew = engrave(musicxml(score, OPTIONS))
        assert list(map(plain, drawing.lines(score, OPTIONS))) == list(map(plain, anew))


def test_a_lick_of_another_name_is_told_over_its_music() -> None:
    drawing = Redrawing()
    text = HEAD + "Lick A\n1: 2d 3d 4d 5d\n\nLick B\n1: 4b . . .\n"
    drawing.lines(score_of(text), OPTIONS)
    score = score_of(text.replace("Lick B", "Lick Other"))
    drawn = drawing.lines(score, OPTIONS)
    assert "Other" in drawn[0]
    assert list(map(plain, drawn)) == list(map(plain, engrave(musicxml(score, OPTIONS))))


def test_only_what_changed_is_drawn() -> None:
    lines = "\n".join(f"{bar}: 2d 3d 4d 5d" for bar in range(1, 49))
    text = HEAD + "Lick A\n" + lines + "\n"
    drawing = Redrawing()
    first = drawing.lines(score_of(text), OPTIONS)
    assert drawing.drawn == len(first) == 12
    drawing.lines(score_of(text), OPTIONS)
    assert drawing.drawn == 12
    drawing.lines(score_of(text.replace("22: 2d", "22: 1d")), OPTIONS)
    assert drawing.drawn == 13


def test_a_tie_over_a_line_is_drawn_on_both() -> None:
    text = HEAD + "Lick A\n" + "".join(f"{bar}: 2d 3d 4d 5d\n" for bar in range(1, 9))
    drawing = Redrawing()
    drawing.lines(score_of(text), OPTIONS)
    held = score_of(text.replace("5: 2d", "5: ="))
    drawn = drawing.lines(held, OPTIONS)
    assert list(map(plain, drawn)) == list(map(plain, engrave(musicxml(held, OPTIONS))))


def test_heads_carry_their_events() -> None:
    score = score_of(HEAD + "Lick A\n1: 2d+3d . 4x5d =\n2: = 4b&. 5b = \n")
    (line,) = Redrawing().lines(score, OPTIONS)
    counted = {event.id: line.count(f'data-event="{event.id}"') for event in score.events}
    heads = [2, 4, 1, 1]  # a chord's two; the shake's two, tied over the bar line
    assert list(counted.values()) == heads
    assert line.count('data-event=""') == 2  # two rests


def test_lines_are_forgotten_in_time() -> None:
    drawing = Redrawing()
    for number in range(MOST_LINES // 100 + 2):
        bars = "".join(f"{bar}: {number % 9 + 1}d 3d 4d 5d\n" for bar in range(1, 401))
        drawing.lines(score_of(HEAD + "Lick A\n" + bars), OPTIONS)
    assert len(drawing._known) <= MOST_LINES
