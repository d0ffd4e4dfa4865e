"""The chart as SVG: well-formed, nothing overlapping or outside, readable without colour."""

import re
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from reedwright.harp.chart_svg import INK, PAPER, SOFT, TINTS, chart_svg
from reedwright.harp.harp import Harp, harp_named
from reedwright.harp.layout import Cell, chart_of
from reedwright.harp.tuning import read_tuning
from tests.strategies_harp import harps, positions

_NS = "{http://www.w3.org/2000/svg}"
maybe_position = st.one_of(st.none(), positions)


def parsed(harp: Harp, position: int | None = None) -> etree._Element:
    return etree.fromstring(chart_svg(harp, position).encode())


def cells_of(harp: Harp, position: int | None) -> list[Cell]:
    return [cell for row in chart_of(harp, position).rows for cell in row.cells if cell]


def corners(shape: etree._Element) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of a box, drawn as a rectangle or as a path with cut corners."""
    if shape.tag == f"{_NS}rect":
        x, y, width, height = (
            float(shape.get(name, "0")) for name in ("x", "y", "width", "height")
        )
        return x, y, x + width, y + height
    path = shape.get("d", "")
    xs = [float(n) for n in re.findall(r"[MHL]([\d.]+)", path)]
    ys = [float(n) for n in re.findall(r"V([\d.]+)|[ML][\d.]+ ([\d.]+)", path) for n in n if n]
    return min(xs), min(ys), max(xs), max(ys)


@given(harps, maybe_position)
def test_every_note_has_a_box_with_its_name_and_words(harp: Harp, position: int | None) -> None:
    groups = list(parsed(harp, position).iter(f"{_NS}g"))
    cells = cells_of(harp, position)
    assert len(groups) == len(cells)
    for group, cell in zip(groups, cells, strict=True):
        written = etree.tostring(group[2], method="text", encoding="unicode", with_tail=False)
        assert written.replace("♯", "#").replace("♭", "b") == cell.pitch
        assert cell.pitch in str(group[0].text)


@given(harps, maybe_position)
@settings(max_examples=30)  # every pair of boxes is looked at
def test_no_box_overlaps_another_or_leaves_the_page(harp: Harp, position: int | None) -> None:
    page = parsed(harp, position)
    width, height = float(page.get("width", "")), float(page.get("height", ""))
    boxes = [corners(group[1]) for group in page.iter(f"{_NS}g")]
    for left, top, right, bottom in boxes:
        assert 0 < left < right < width
        assert 0 < top < bottom < height
    for one, other in combinations(boxes, 2):
        beside = one[2] <= other[0] or other[2] <= one[0]
        assert beside or one[3] <= other[1] or other[3] <= one[1]


def test_shapes_tell_the_kinds_apart_without_colour() -> None:
    shapes: dict[str, set[tuple[str, bool, bool]]] = {}
    groups = parsed(harp_named("C")).iter(f"{_NS}g")
    for group, cell in zip(groups, cells_of(harp_named("C"), None), strict=True):
        box = group[1]
        shape = (box.tag, box.get("rx", "0") != "0", box.get("stroke-dasharray") is not None)
        shapes.setdefault(cell.kind, set()).add(shape)
    assert shapes == {
        "natural": {(f"{_NS}rect", False, False)},
        "bend": {(f"{_NS}rect", True, False)},
        "overbend": {(f"{_NS}path", False, True)},
    }


def test_the_key_note_is_filled_dark_and_written_light() -> None:
    groups = parsed(harp_named("C"), 2).iter(f"{_NS}g")
    for group, cell in zip(groups, cells_of(harp_named("C"), 2), strict=True):
        home = cell.degree == "1"
        assert (group[1].get("fill") == INK) == home
        assert (group[2].get("fill") == PAPER) == home


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return sum(
        weight * value for weight, value in zip((0.2126, 0.7152, 0.0722), linear, strict=True)
    )


@pytest.mark.parametrize("ground", sorted({PAPER, *TINTS.values()}))
@pytest.mark.parametrize("ink", [INK, SOFT])
def test_contrast_is_at_least_seven_to_one(ink: str, ground: str) -> None:
    assert (luminance(ground) + 0.05) / (luminance(ink) + 0.05) >= 7.0


def test_no_other_colour_is_used() -> None:
    used = set(re.findall(r"#[0-9a-f]{6}", chart_svg(harp_named("C"), 2)))
    assert used == {INK, SOFT, PAPER, TINTS["bend"]}


def test_a_title_and_a_description_come_first() -> None:
    page = parsed(harp_named("A natural minor"), 2)
    assert page.get("role") == "img"
    assert [page[0].tag, page[1].tag] == [f"{_NS}title", f"{_NS}desc"]
    assert page[0].text == "A harp, natural minor"
    assert "Draw bend 3: 2 F#4." in (page[1].text or "")


def test_markup_in_a_name_stays_text() -> None:
    tuning = read_tuning('base = "richter"\nname = "<script>&\\"\'</svg>"', "x")
    page = parsed(Harp("C", tuning))
    assert page[0].text == "C harp, <script>&\"'</svg>"
    assert not list(page.iter(f"{_NS}script"))


@given(harps, maybe_position)
@settings(max_examples=20)
def test_the_same_bytes_every_time(harp: Harp, position: int | None) -> None:
    assert chart_svg(harp, position) == chart_svg(harp, position)


def test_several_charts_can_stand_in_one_page() -> None:
    text = chart_svg(harp_named("C"), 2)
    assert " id=" not in text
    assert "<style" not in text
    assert "class=" not in text
