"""Lines of music stacked into pages for a screen: plain SVG, nothing but text and pictures.

Conventions: lengths are viewBox units of `engrave` (72 to a staff at any scale); a page is as wide
as its lines and as high as what it holds, on white paper.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from lxml import etree

from reedwright.sheet.glyphs import text_width
from reedwright.sheet.svg import SVG, size

Element: TypeAlias = "etree._Element"

_MARGIN, _GAP = 60.0, 50.0  # about half a staff; by eye
_TITLE_SIZE, _CREATOR_SIZE = 84.0, 42.0


def stack(
    lines: Sequence[str], per_page: int, title: str, creator: str, *, font: str
) -> tuple[str, ...]:
    """Pages of at most `per_page` lines each, title and creator (if any) above the first."""
    chunks = [lines[start : start + per_page] for start in range(0, len(lines), per_page)]
    return tuple(
        _page(chunk, title, (title, creator) if number == 0 else ("", ""), font)
        for number, chunk in enumerate(chunks)
    )


def _page(lines: Sequence[str], name: str, heading: tuple[str, str], font: str) -> str:
    pictures = [etree.fromstring(line) for line in lines]
    width = max(size(picture)[0] for picture in pictures)
    page = etree.fromstring(f'<svg xmlns="{SVG[1:-1]}"/>')
    etree.SubElement(page, f"{SVG}title").text = name or "Sheet music"
    etree.SubElement(page, f"{SVG}rect", {"width": "100%", "height": "100%", "fill": "white"})
    y = _head(page, heading, width, font)
    for picture in pictures:
        own_width, height = size(picture)
        for key, value in (("x", _MARGIN), ("y", y), ("width", own_width), ("height", height)):
            picture.set(key, f"{value:g}")
        page.append(picture)
        y += height + _GAP
    page.set("viewBox", f"0 0 {width + 2 * _MARGIN:g} {y - _GAP + _MARGIN:g}")
    return etree.tostring(page, encoding="unicode")


def _head(page: Element, heading: tuple[str, str], width: float, font: str) -> float:
    """Title and creator, each on one line that fits the width; how far down they reach."""
    y = _MARGIN
    for text, type_size, weight in zip(heading, (_TITLE_SIZE, _CREATOR_SIZE), "64", strict=True):
        if text:
            long = text_width(text, type_size, bold=True)
            fitted = type_size * min(1.0, width / long)
            y += fitted
            style = {
                "font-family": font,
                "font-size": f"{fitted:.4g}",
                "font-weight": f"{weight}00",
            }
            place = {"x": f"{_MARGIN + width / 2:g}", "y": f"{y:g}", "text-anchor": "middle"}
            etree.SubElement(page, f"{SVG}text", place | style).text = text
            y += type_size / 2
    return y
