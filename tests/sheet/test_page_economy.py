"""How the parts of a printed sheet share its pages, and that what is set stays in its place.

Read back with pdfplumber; no outside source.
"""

from collections.abc import Callable
from io import BytesIO
from itertools import pairwise

import pdfplumber
import pytest

from reedwright.sheet import typeset as typeset_module
from reedwright.sheet.document import SheetDocument
from reedwright.sheet.engrave import engrave_parted
from reedwright.sheet.fonts import MUSIC_FONT
from reedwright.sheet.glyphs import text_width
from reedwright.sheet.musicxml import musicxml
from reedwright.sheet.typeset import LARGE_BARS_PER_LINE, LARGE_SCALE, typeset
from reedwright.tune.place import place
from reedwright.tune.read import read_tune
from tests.sheet.documents import document
from tests.sheet.pdf_reader import squeezed, text_of
from tests.sheet.scores import LONG, score, twelve_bars

POINTS_PER_MM = 72 / 25.4


# ---- the lettering of the music -----------------------------------------------------------------


def test_the_lettering_of_the_music_is_set_where_the_engraver_put_it() -> None:
    with pdfplumber.open(BytesIO(typeset(document()))) as opened:
        page = opened.pages[0]
        signs = [sign for sign in page.chars if sign["text"] == "−"]
        left_mm = float(signs[0]["x0"]) / POINTS_PER_MM - 15
    first = next(p for p in engrave_parted(twelve_bars())[0].pieces if p.text.startswith("−"))
    width_mm = text_width(first.text, first.runs[0].size_mm, bold=True)
    assert left_mm == pytest.approx(first.x_mm - width_mm / 2, abs=0.2)


@pytest.mark.parametrize("meter", ["6/8", "12/8"])
def test_the_tempo_of_a_compound_meter_is_a_dotted_quarter(meter: str) -> None:
    cells = " ".join(["2d"] * (int(meter.partition("/")[0]) // 3))
    tune = (
        f"Title: Slow\nHarp: A\nPosition: 2\nMeter: {meter}\nTempo: 56\n\nLick Call\n1: {cells}\n"
    )
    systems = engrave_parted(musicxml(place(read_tune(tune + "\nChorus\n1 Call\n"))))
    pdf = typeset(document(systems=systems))
    assert "♩.=56" in squeezed(text_of(pdf))
    with pdfplumber.open(BytesIO(pdf)) as opened:
        signs = [s for s in opened.pages[0].chars if MUSIC_FONT in s["fontname"]]
    note, dot = signs
    assert (note["text"], dot["text"]) == ("♩", ".")
    assert dot["x0"] > note["x1"] + 1  # clear of the note by more than a point


# ---- how much stands on a page ------------------------------------------------------------------

SINGLE = score([LONG] * 4, pickup=False)  # every line of tab at one height
PLAIN_LINE = engrave_parted(SINGLE)[0]
(LARGE_LINE, *_) = engrave_parted(SINGLE, scale=LARGE_SCALE, bars_per_line=LARGE_BARS_PER_LINE)


@pytest.fixture
def never_closer(monkeypatch: pytest.MonkeyPatch) -> Callable[[], None]:
    """Makes the template keep to its usual distances."""

    def change() -> None:
        text = typeset_module._template().replace(b"if costs.first() >= 200000", b"if false")
        assert b"if false" in text
        monkeypatch.setattr(typeset_module, "_template", lambda: text)

    return change


def lines_by_page(made: SheetDocument) -> list[list[float]]:
    """For every page, the height (mm) at which each line of music begins its tab."""
    (first_mm,) = {p.y_mm for p in made.systems[0].pieces if p.text.startswith("−2")}
    found = []
    with pdfplumber.open(BytesIO(typeset(made))) as opened:
        for page in opened.pages:
            tops = {
                round((float(page.height) - sign["matrix"][5]) / POINTS_PER_MM - first_mm, 2)
                for sign in page.chars
                if sign["text"] == "−" and sign["size"] > 10.6
            }
            found.append(sorted(tops))
    return found


def gaps(pages: list[list[float]], height_mm: float) -> set[float]:
    return {round(b - a - height_mm, 1) for page in pages for a, b in pairwise(page)}


def test_a_sheet_is_set_closer_only_when_that_saves_a_page(
    never_closer: Callable[[], None],
) -> None:
    made = [document(systems=(PLAIN_LINE,) * lines) for lines in range(2, 12)]
    height = PLAIN_LINE.height_mm
    actual = [lines_by_page(each) for each in made]
    never_closer()
    usual = [lines_by_page(each) for each in made]
    saved = [len(b) - len(a) for a, b in zip(actual, usual, strict=True)]
    assert min(saved) == 0
    assert max(saved) == 1
    for own, loose, fewer in zip(actual, usual, saved, strict=True):
        assert gaps(loose, height) == {4.0}
        assert (gaps(own, height) == {4.0}) == (not fewer)
        assert min(gaps(own, height)) >= 2.2


def test_large_print_fills_its_pages_by_closing_up(never_closer: Callable[[], None]) -> None:
    made = [document(systems=(LARGE_LINE,) * lines, large=True) for lines in range(2, 7)]
    actual = [[len(page) for page in lines_by_page(each)] for each in made]
    never_closer()
    usual = [[len(page) for page in lines_by_page(each)] for each in made]
    assert all(len(a) <= len(b) and a[0] >= b[0] for a, b in zip(actual, usual, strict=True))
    assert actual != usual


@pytest.mark.parametrize(
    "chords", [("G7",), ("G7", "C7"), ("G7", "C7", "G7", "D7"), ("Am7♭5",) * 4]
)
def test_the_chords_of_a_bar_of_the_form_stay_in_its_box(chords: tuple[str, ...]) -> None:
    with pdfplumber.open(BytesIO(typeset(document(form=(chords, ("E9",)) * 2)))) as opened:
        page = opened.pages[0]
        words = page.extract_words(keep_blank_chars=False, x_tolerance=1)
    nines = [word for word in words if word["text"] == "E9"]
    low, right = float(nines[0]["bottom"]) + 15, float(nines[0]["x0"])
    own = [w for w in words if w["text"] in chords and w["bottom"] < low and w["x0"] < right]
    assert len(own) == len(chords)
    assert max(float(word["x1"]) for word in own) < right - 8
