"""Pages for a screen: whole pictures that stand alone. No outside source."""

import re
from itertools import pairwise
from typing import Any

from lxml import etree

from reedwright.sheet.engrave import engrave, engrave_pages
from reedwright.sheet.glyphs import REPLACEMENT
from tests.sheet.scores import LONG, rehearsal, score, twelve_bars
from tests.sheet.svg_reader import SVG, read_picture


def test_pages_hold_the_lines_in_order_with_title_and_author_on_the_first() -> None:
    pages = [read_picture(page) for page in engrave_pages(twelve_bars(), systems_per_page=2)]
    assert [page.measures for page in pages] == [9, 4]
    assert pages[0].said[:2] == ["Slow Bus", "A. Teacher"]
    assert not {"Slow Bus", "A. Teacher"} & set(pages[1].said)
    assert [page.title for page in pages] == ["Slow Bus", "Slow Bus"]


def test_a_page_refers_to_nothing_outside_itself_and_falls_back_to_a_common_font() -> None:
    (page,) = engrave_pages(twelve_bars())
    links = re.findall(r'(?:href|src|url)\s*[=(]\s*["\']?([^"\')]+)', page)
    assert links
    assert all(link.startswith(("#", "data:")) for link in links)
    assert "Times, serif" in page


def test_the_systems_of_a_page_do_not_overlap() -> None:
    root: Any = etree.fromstring(engrave_pages(twelve_bars())[0])
    boxes = [(float(s.get("y")), float(s.get("height"))) for s in root.findall(f"{SVG}svg")]
    assert len(boxes) == 3
    assert all(y + height < next_y for (y, height), (next_y, _) in pairwise(boxes))
    assert boxes[-1][0] + boxes[-1][1] <= float(root.get("viewBox").split()[3])


def test_the_tab_keeps_its_width_in_any_font() -> None:
    (page,) = engrave_pages(twelve_bars())
    assert page.count("textLength=") == sum(text.head > 0 for text in read_picture(page).tab)
    assert "textLength=" not in engrave(twelve_bars())[0]


def test_a_screen_keeps_signs_that_print_must_replace() -> None:
    made = score([rehearsal("Call 🎵 漢字") + LONG], pickup=False)
    assert "Call 🎵 漢字" in read_picture(engrave_pages(made)[0]).said
    assert f"Call {REPLACEMENT} {REPLACEMENT}" in read_picture(engrave(made)[0]).said


def test_a_long_title_is_set_smaller_so_that_it_stays_on_the_page() -> None:
    short, long = (
        read_picture(engrave_pages(score([LONG], pickup=False, title=title))[0]).texts[0]
        for title in ("Bus", "Bus " * 100)
    )
    assert long.size < short.size / 3
