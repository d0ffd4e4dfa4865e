"""The sheet as SVG pages: the same as print, standing alone, readable by ear, safe side by side.

What it looks like in a browser and in librsvg was compared by eye; no outside source.
"""

import hashlib
import re
import subprocess
import sys
from typing import Any

import pytest
from lxml import etree

from reedwright.sheet.document import Remark
from reedwright.sheet.engrave import engrave_parted
from reedwright.sheet.pages import page_pictures
from reedwright.sheet.typeset import typeset
from tests.sheet.documents import document
from tests.sheet.pdf_reader import open_pdf
from tests.sheet.scores import LONG, chord, notes, score, twelve_bars
from tests.sheet.svg_reader import SVG

LONG_SHEET: dict[str, Any] = {"systems": engrave_parted(twelve_bars()) * 4}


def parsed(page: str) -> Any:  # noqa: ANN401 - lxml's stubs allow None everywhere
    return etree.fromstring(page)


def test_there_are_as_many_pages_as_in_print_on_the_same_paper() -> None:
    for changes in ({}, {"paper": "letter"}, LONG_SHEET):
        made = document(**changes)
        boxes = [page.mediabox for page in open_pdf(typeset(made)).pages]
        views = [parsed(page).get("viewBox").split() for page in page_pictures(made)]
        assert len(views) == len(boxes)
        for view, box in zip(views, boxes, strict=True):
            assert view[:2] == ["0", "0"]
            assert float(view[2]) == pytest.approx(float(box.width), abs=0.01)
            assert float(view[3]) == pytest.approx(float(box.height), abs=0.01)


def test_a_page_has_the_size_of_its_paper_and_can_be_scaled() -> None:
    root = parsed(page_pictures(document())[0])
    assert (root.get("width"), root.get("height")) == ("595.276pt", "841.89pt")
    assert root.get("viewBox").startswith("0 0 595.27")


def test_a_page_is_an_image_with_title_and_description() -> None:
    root = parsed(page_pictures(document())[0])
    assert root.get("role") == "img"
    title, desc = root[0], root[1]
    assert (title.tag, desc.tag) == (f"{SVG}title", f"{SVG}desc")
    assert root.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"
    assert title.text == "Slow Bus"


def test_the_description_says_facts_then_tab_in_order_then_remarks_and_cautions() -> None:
    bar = chord("G") + notes("D5:24 −4", "D4+G4:24 −2/−1")
    made = document(systems=engrave_parted(score([bar, LONG], pickup=False, lines=1)))
    assert parsed(page_pictures(made)[0])[1].text.split("\n") == [
        "for the second lesson",
        "Harp: A, Richter",
        "Tempo: 60 · 72 · 96",
        "Form: 1 E7, 2 A7, 3 E7, 4 E7 B♭7",
        "Bar 1: G7 −4 −2+−1",
        "Bar 2: −2 −3 −4 −4′ −2",
        "Call: Start soft. Listen.",
        "Train: Let air out.",
        "Rest when you feel dizzy.",
        "Do not share harps unwashed.",
    ]


def test_each_page_describes_the_lines_that_stand_on_it() -> None:
    pages = [parsed(page) for page in page_pictures(document(**LONG_SHEET))]
    assert len(pages) > 1
    said = [[line for line in page[1].text.split("\n") if "Bars" in line] for page in pages]
    assert sum(map(len, said)) == 12
    assert all(said[:-1])
    assert [page[0].text for page in pages] == [
        f"Slow Bus, page {n + 1}" for n in range(len(pages))
    ]
    assert "Harp: A, Richter" not in pages[1][1].text


def test_a_page_needs_no_font_and_nothing_outside_itself() -> None:
    (page,) = page_pictures(document())
    root = parsed(page)
    assert not list(root.iter(f"{SVG}text", f"{SVG}image", f"{SVG}style", f"{SVG}script"))
    assert "font" not in re.sub(r"<(title|desc).*?</\1>", "", page, flags=re.DOTALL)
    ids = {element.get("id") for element in root.iter() if element.get("id")}
    links = re.findall(r'(?:href="|url\()([^")]+)', page)
    assert links
    assert {link.removeprefix("#") for link in links} <= ids
    assert all(link.startswith("#") for link in links)


def test_ids_are_unique_within_a_page_and_between_pages() -> None:
    pages = [*page_pictures(document(**LONG_SHEET)), *page_pictures(document(title="Other"))]
    ids = [e.get("id") for page in pages for e in parsed(page).iter() if e.get("id")]
    assert len(ids) > 100
    assert len(ids) == len(set(ids))


def test_an_attribute_of_the_page_around_it_is_all_that_reaches_in() -> None:
    (page,) = page_pictures(document())
    assert not re.search(r'\s(class|style|on\w+)="(?!definition-scale)', page)


@pytest.mark.parametrize(
    "text", ["</desc><script>x</script>", "a & b ]]> <!--", "\ud800 \x00 \x0b"]
)
def test_markup_and_broken_letters_are_plain_text(text: str) -> None:
    made = document(title=text, facts=((text, text),), remarks=(Remark(text, text),))
    (page,) = page_pictures(made)
    root = parsed(page)
    assert not list(root.iter(f"{SVG}script"))
    safe = " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
    assert f"\n{f'{safe}: {safe}'.strip()}\n" in root[1].text


_DIGEST = """
import hashlib
from tests.sheet.documents import document
from reedwright.sheet.pages import page_pictures
print(hashlib.sha256("".join(page_pictures(document())).encode()).hexdigest())
"""


def test_the_same_sheet_gives_the_same_bytes_in_every_process() -> None:
    here = "".join(page_pictures(document())).encode()
    page_pictures(document(title="Another"))
    assert "".join(page_pictures(document())).encode() == here
    there = subprocess.run(
        [sys.executable, "-c", _DIGEST],
        check=True,
        capture_output=True,
        text=True,
        env={"PYTHONHASHSEED": "7", "PYTHONPATH": ":".join(sys.path)},
    )
    assert there.stdout.strip() == hashlib.sha256(here).hexdigest()
