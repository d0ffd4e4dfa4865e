"""The printed sheet: what it holds, on which paper, and that no text can break or bend it.

Read back with pypdf; the check against several independent readers is in
tests/outside/test_sheet_text.py. Paper sizes: ISO 216 and ANSI Y14.1, from memory.
"""

import hashlib
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from io import BytesIO
from itertools import pairwise

import pdfplumber
import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import SheetError
from reedwright.sheet.document import ChartRow, Remark, SheetDocument
from reedwright.sheet.engrave import engrave_parted
from reedwright.sheet.fonts import EMBEDDED_FONTS, MUSIC_FONT
from reedwright.sheet.glyphs import REPLACEMENT, _table, printable
from reedwright.sheet.parted import Parted
from reedwright.sheet.typeset import LARGE_BARS_PER_LINE, LARGE_SCALE, _compiler, typeset
from tests.sheet.documents import document
from tests.sheet.pdf_reader import fonts_of, glyph_numbers, open_pdf, squeezed, text_of
from tests.sheet.scores import LONG, rehearsal, score, twelve_bars

POINTS_PER_MM = 72 / 25.4


def missing_glyphs(pdf: bytes) -> int:
    return sum(number == 0 for _, number in glyph_numbers(pdf))


# ---- what it holds -----------------------------------------------------------------------------


def test_a_sheet_holds_all_its_parts_in_reading_order() -> None:
    text = squeezed(text_of(typeset(document())))
    parts = [
        "Slow Bus", "for the second lesson", "Harp", "A, Richter", "Tempo", "60 · 72 · 96", "Form",
        "1E7", "2A7", "3E7", "4E7B♭7", "♩= 96", "−4−3", "4&", "Call", "cup closed", "G7",
        "−2−3−4−4′−2", "Train", "Climb", "Remarks", "Call", "Start soft.", "Listen.", "Train",
        "Let air out.", "The harp: A, Richter", "blow bends", "C6E♭6A♭6", "hole12345678910",
        "half step", "Rest when you feel dizzy. Do not share harps unwashed.", "Slow Bus",
        "page 1 of 1",
    ]  # fmt: skip
    at = 0
    for each in parts:
        found = text.find(squeezed(each), at)
        assert found >= at, f"{each!r} is not in the sheet after {text[:at][-40:]!r}"
        at = found + 1


def test_parts_without_content_are_left_out() -> None:
    bare = SheetDocument(title="Bare")
    text = text_of(typeset(bare))
    assert text.split() == ["Bare", "Bare", "page", "1", "of", "1"]


def test_every_font_is_ours_and_no_glyph_is_missing() -> None:
    pdf = typeset(document())
    ours = {name.replace(" ", "") for name in (*EMBEDDED_FONTS, MUSIC_FONT)}
    fonts = {font.partition("-")[0] for font in fonts_of(pdf)}
    assert fonts <= ours
    assert MUSIC_FONT in fonts
    assert missing_glyphs(pdf) == 0


def test_page_numbers_count_to_the_last_page() -> None:
    pdf = typeset(document(remarks=tuple(Remark(f"Lick {n}", "Slowly. " * 30) for n in range(25))))
    pages = [page.extract_text() for page in open_pdf(pdf).pages]
    assert len(pages) > 1
    for number, page in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in page


def test_the_chart_stands_on_the_last_page_whole() -> None:
    pdf = typeset(document(remarks=tuple(Remark(f"Lick {n}", "Slowly. " * 30) for n in range(25))))
    last = squeezed(open_pdf(pdf).pages[-1].extract_text())
    assert "Theharp:A,Richter" in last
    assert "halfstep" in last


# ---- paper -------------------------------------------------------------------------------------


@pytest.mark.parametrize(("paper", "size_mm"), [("a4", (210, 297)), ("letter", (215.9, 279.4))])
def test_paper_sizes(paper: str, size_mm: tuple[float, float]) -> None:
    box = open_pdf(typeset(document(paper=paper))).pages[0].mediabox
    assert (box.width / POINTS_PER_MM, box.height / POINTS_PER_MM) == pytest.approx(
        size_mm, abs=0.1
    )


def test_large_print_has_larger_type_and_a_larger_staff() -> None:
    lines = engrave_parted(twelve_bars(), scale=LARGE_SCALE, bars_per_line=LARGE_BARS_PER_LINE)
    usual, large = document(), document(large=True, systems=lines)

    def smallest_tab(pdf: bytes) -> float:
        with pdfplumber.open(BytesIO(pdf)) as opened:
            signs = [sign for page in opened.pages for sign in page.chars]
        return min(float(sign["size"]) for sign in signs if sign["text"] == "−")

    assert len(open_pdf(typeset(large)).pages) > len(open_pdf(typeset(usual)).pages)
    assert smallest_tab(typeset(large)) >= 1.4 * smallest_tab(typeset(usual))


# ---- the same bytes ----------------------------------------------------------------------------

_DIGEST = """
import hashlib
from tests.sheet.documents import document
from reedwright.sheet.typeset import typeset
print(hashlib.sha256(typeset(document())).hexdigest())
"""


def test_the_same_sheet_gives_the_same_bytes_in_every_process() -> None:
    here = typeset(document())
    typeset(document(title="Another"))
    assert typeset(document()) == here
    there = {
        subprocess.run(
            [sys.executable, "-c", _DIGEST],
            check=True,
            capture_output=True,
            text=True,
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": ":".join(sys.path)},
        ).stdout.strip()
        for seed in ("1", "2")
    }
    assert there == {hashlib.sha256(here).hexdigest()}


def test_a_sheet_bears_its_title_and_no_date() -> None:
    pdf = typeset(document(title="Slow <b>Bus</b>"))
    about = dict(open_pdf(pdf).metadata or {})
    assert str(about["/Title"]) == "Slow <b>Bus</b>"
    assert not [key for key in about if "Date" in key]
    assert b"CreateDate" not in pdf


def test_threads_may_set_sheets_at_the_same_time() -> None:
    documents = [document(title=f"Sheet {number}") for number in range(6)]
    alone = [typeset(each) for each in documents]
    with ThreadPoolExecutor(6) as pool:
        assert list(pool.map(typeset, documents)) == alone


# ---- hostile text ------------------------------------------------------------------------------

MARKUP = [
    '#let x = 1; #read("/etc/passwd")',
    "#panic() ] } ) $x^2$ *bold* _it_ `raw` @ref <label> = Head // gone /* gone */",
    "\"quoted\" \\ back\\slash \\u{41} 'single'",
    "<b>bold</b> &amp; &lt; <!-- gone --> ]]> <?xml?>",
    "{{ x }} %s ${HOME} ~ -- --- ... -> https://example.org",
    "שלום a b עולם",
]


@pytest.mark.parametrize("text", MARKUP)
def test_markup_in_any_text_prints_literally(text: str) -> None:
    changed = document(
        title=text,
        byline=text,
        facts=((text, text),),
        form=((text,),),
        remarks=(Remark(text, text),),
        cautions=(text,),
        chart_title=text,
        chart=(ChartRow(text, (text,)),),
    )
    pdf = typeset(changed)
    assert missing_glyphs(pdf) == 0
    if "ש" not in text:  # a reader of right-to-left text orders it in its own way
        assert squeezed(text_of(pdf)).count(squeezed(text)) >= 9


@pytest.mark.parametrize("text", MARKUP)
def test_markup_in_a_lick_name_prints_literally(text: str) -> None:
    name = text[:30]
    pdf = typeset(document(systems=engrave_parted(score([rehearsal(name) + LONG], pickup=False))))
    assert missing_glyphs(pdf) == 0
    if "ש" not in name:
        assert squeezed(name) in squeezed(text_of(pdf))


def test_signs_no_font_has_print_as_a_visible_substitute() -> None:
    pdf = typeset(document(title="Night 🎵 Bus 漢字 \ud800 \x00 \u202e."))
    assert missing_glyphs(pdf) == 0
    assert f"Night {REPLACEMENT} Bus {REPLACEMENT} {REPLACEMENT}" in text_of(pdf)


def test_a_missing_glyph_would_be_noticed() -> None:
    made = _compiler().compile(input="a 漢 b".encode(), format="pdf")
    assert isinstance(made, bytes)
    assert missing_glyphs(made) == 1


@pytest.mark.parametrize("title", ["W" * 500, "Bus " * 125, "x" * 30_000, "🎵" * 500])
def test_a_title_of_any_length_stays_on_the_paper(title: str) -> None:
    reader = open_pdf(typeset(document(title=title)))
    right_mm = 210 - 14  # paper less margin, with a millimetre for what hangs over
    ends: list[float] = []

    def see(text: str, _cm: object, matrix: list[float], _font: object, _size: float) -> None:
        if text.strip():
            ends.append(matrix[4] / POINTS_PER_MM)

    for page in reader.pages:
        page.extract_text(visitor_text=see)
    assert max(ends) < right_mm
    if title[0] == "W":
        text = squeezed("".join(page.extract_text() for page in reader.pages))
        assert text.replace("\u200b", "").count("W" * 500) == 1


def test_very_many_lines_of_music_and_remarks_are_set() -> None:
    systems = engrave_parted(twelve_bars()) * 20
    pdf = typeset(document(systems=systems, remarks=(Remark("Long", "word " * 20_000),)))
    assert len(open_pdf(pdf).pages) > 20


ANY_TEXT = st.text(st.characters(codec=None), max_size=60)


@given(ANY_TEXT, ANY_TEXT, ANY_TEXT)
def test_any_text_can_be_set(title: str, remark: str, chord: str) -> None:
    pdf = typeset(
        SheetDocument(title=title, remarks=(Remark("Call", remark),), form=((chord,), (chord,) * 3))
    )
    assert len(open_pdf(pdf).pages) >= 1
    assert missing_glyphs(pdf) == 0


# ---- the table of glyphs -----------------------------------------------------------------------


def covered() -> list[str]:
    spans = [span.partition("-")[::2] for span in _table()["covered"].split()]
    return [chr(n) for low, high in spans for n in range(int(low, 16), int(high or low, 16) + 1)]


def test_every_sign_called_printable_has_a_glyph() -> None:
    signs = [sign for sign in covered() if printable(sign) == sign]
    assert len(signs) > 8000
    assert missing_glyphs(typeset(document(cautions=(" ".join(signs),)))) == 0


def test_what_music_and_teachers_need_is_printable() -> None:
    needed = "♩♪♭♯♮−′″–—·×½↑↓→←…“”‘’äöüéèñçåøßÆŁőžİñ¿¡€£°©"
    assert printable(needed) == needed


# ---- what cannot be set ------------------------------------------------------------------------


def test_a_document_is_checked_when_it_is_made() -> None:
    with pytest.raises(SheetError, match="a4 or letter"):
        document(paper="a5")
    with pytest.raises(SheetError, match="different numbers of cells"):
        document(chart=(ChartRow("blow", ("C4",)), ChartRow("draw", ("D4", "G4"))))
    with pytest.raises(SheetError, match="row of the chart"):
        ChartRow("blow", ("C4",), "none")  # type: ignore[arg-type]


def test_a_line_that_is_no_picture_is_one_clear_error() -> None:
    with pytest.raises(SheetError, match="could not be set in type"):
        typeset(document(systems=(Parted("Bar 1", "<svg", (), 30.0, ""),)))


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("holes", [4, 10, 12, 16])
def test_a_chart_with_degrees_fits_the_width_without_touching(holes: int, large: bool) -> None:
    wide = ("A♭6o", "D♭7o")
    names = tuple(wide[hole % 2] for hole in range(holes))
    rows = (
        ChartRow("bend 1, button", names, "bend", ("♭5",) * holes),
        ChartRow("hole", tuple(map(str, range(1, holes + 1))), "holes"),
        ChartRow("draw", ("D♭7o",) * holes, "natural", ("1",) * holes),
    )
    pdf = typeset(SheetDocument(title="", chart=rows, chart_title="Harp", large=large))
    with pdfplumber.open(BytesIO(pdf)) as opened:
        (page,) = opened.pages
        cells = [rect for rect in page.rects if rect["width"] < 200]
        foot = max(cell["bottom"] for cell in cells)
        signs = [sign for sign in page.chars if sign["text"].strip() and sign["bottom"] < foot + 2]
        edges = sorted({round(cell["x1"], 1) for cell in cells})
    assert len(edges) == holes
    assert max(sign["x1"] for sign in signs) <= edges[-1]
    for low, high in pairwise(edges):
        inside = [sign for sign in signs if low < (sign["x0"] + sign["x1"]) / 2 < high]
        assert len(inside) >= 9  # two names, their degrees, and the hole
        assert low < min(sign["x0"] for sign in inside)
        assert max(sign["x1"] for sign in inside) < high


def test_a_long_legend_stands_below_facts_and_form() -> None:
    def top_of(value: str) -> tuple[float, float]:
        facts = (("Harp", "A"), ("Tab", value), ("Level", "steady"))
        pdf = typeset(SheetDocument(title="", facts=facts, form=(("G7",), ("C7",)) * 6))
        with pdfplumber.open(BytesIO(pdf)) as opened:
            words = {word["text"]: word["top"] for word in opened.pages[0].extract_words()}
        return words["Tab"], words["Level"]

    tab, level = top_of("−4 draw")
    assert tab < level
    tab, level = top_of("−4 draw, " * 15)
    assert tab > level + 20
