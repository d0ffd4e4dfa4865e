"""Small helpers for the engraver's SVG.

Conventions: lengths are those of verovio's drawing, 180 to a staff space, y downwards; the
picture's own unit (its viewBox) is `PER_UNIT` of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from lxml import etree

from reedwright.sheet.glyphs import text_width

Element: TypeAlias = "etree._Element"

SVG = "{http://www.w3.org/2000/svg}"
XLINK_HREF = "{http://www.w3.org/1999/xlink}href"
BAR_NUMBER = "number"  # class of the text that numbers a line
PER_UNIT = 10  # verovio's definition scale
TEXT_WIDTH_MM = 180  # of a line of music; fits A4 and Letter with margins of 15 and 18 mm
# Half the width of what text stands under, by SMuFL number: rests and the whole note.
_HALF_WIDTH = {"E0A2": 160, "E4E3": 108, "E4E4": 108, "E4E5": 85, "E4E6": 85}
_HALF_HEAD = 113  # half a black note head; both measured in verovio's Leipzig font
_COLUMNS, _SIGNS = frozenset({"note", "chord", "rest"}), frozenset({"notehead", "rest"})
_GROUP = f"{SVG}g"
_SIGN = re.compile(r"#(?P<code>\w+)-\S+ translate\((?P<x>[-\d.]+),\s*(?P<y>[-\d.]+)\)")
_ACCIDENTAL = re.compile("([♭♮♯]+)")
_PLAIN = {"font-weight": "400", "font-style": "normal"}
_ARROW = re.compile("([↑↓])")
_ARROW_SIZE = 0.8  # of the figures beside it: as high as they are, so that stacked signs part
_LINE = re.compile(r"M\S+ (?P<y>[-\d.]+) L")


@dataclass(frozen=True, slots=True)
class Column:
    """A note, chord or rest; (x, y) is the middle of its (first) head or of the rest sign."""

    group: Element
    x: float
    y: float

    @property
    def left(self) -> float:
        """Where a note head here begins."""
        return self.x - _HALF_HEAD


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar as the engraver drew it, its columns from left to right in each voice."""

    group: Element
    columns: tuple[Column, ...]


def read_bars(picture: Element) -> tuple[Bar, ...]:
    """The bars of a line of music."""
    measures = (group for group in picture.iter(_GROUP) if group.get("class") == "measure")
    return tuple(Bar(measure, tuple(_columns(measure))) for measure in measures)


def _columns(measure: Element) -> Iterator[Column]:
    for group in measure.iter(_GROUP):
        if group.get("class") in _COLUMNS and not _in_chord(group):
            sign = next(_signs(group), None)
            if sign is not None:
                half = _HALF_WIDTH.get(sign["code"], _HALF_HEAD)
                yield Column(group, float(sign["x"]) + half, float(sign["y"]))


def _in_chord(group: Element) -> bool:
    parent = group.getparent()
    return parent is not None and parent.get("class") == "chord"


def _signs(column: Element) -> Iterator[re.Match[str]]:
    """Code and place of each head or rest sign."""
    for use in column.iter(f"{SVG}use"):
        parent = use.getparent()
        if parent is not None and parent.get("class") in _SIGNS:
            found = _SIGN.match(f"{use.get(XLINK_HREF)} {use.get('transform')}")
            if found:
                yield found


def children(group: Element, *names: str) -> list[Element]:
    """Groups directly inside this one that hold one of these things."""
    return [child for child in group if child.get("class") in names]


def texts(group: Element, *names: str) -> list[Element]:
    """The text elements of such children."""
    return [text for child in children(group, *names) for text in child.iter(f"{SVG}text")]


def staff_top(bar: Bar) -> float:
    """Height (y) of the top line of the bar's first staff."""
    for staff in children(bar.group, "staff"):
        found = _LINE.match(staff[0].get("d") or "") if len(staff) else None
        if found:
            return float(found["y"])
    return 0.0


def said(text: Element) -> str:
    """All characters of a text element."""
    return "".join(map(str, text.itertext()))


def new_text(content: str, x: float, y: float, style: Mapping[str, str]) -> Element:
    """A plain text element."""
    element = etree.Element(f"{SVG}text", {"x": f"{x:g}", "y": f"{y:g}", **style})
    add_text(element, content, x, style)
    return element


def add_text(element: Element, content: str, x: float, style: Mapping[str, str]) -> None:
    """Fill an empty text element that starts at `x`; accidentals upright and plain.

    Only the plain upright font has accidentals. Where one typeface ends and another begins, the
    text is given its place anew: a typesetter may take one font for all up to the next place.
    """
    type_size, bold = float(style["font-size"]), style.get("font-weight") == "600"
    plain, *rest = _ACCIDENTAL.split(content)
    _fill(element, plain, type_size)
    x += text_width(plain, type_size, bold=bold)
    for at, part in enumerate(rest):
        accidental = at % 2 == 0
        if part:
            own = _PLAIN if accidental else {}
            _fill(etree.SubElement(element, f"{SVG}tspan", {"x": f"{x:g}", **own}), part, type_size)
        x += text_width(part, type_size, bold=bold and not accidental)


def _fill(element: Element, part: str, type_size: float) -> None:
    """Text without accidentals; arrows are set smaller than figures."""
    element.text, *rest = _ARROW.split(part)
    for sign, after in zip(rest[::2], rest[1::2], strict=True):
        span = etree.SubElement(
            element, f"{SVG}tspan", {"font-size": f"{type_size * _ARROW_SIZE:g}"}
        )
        span.text, span.tail = sign, after


def set_text(old: Element, content: str, x: float, y: float, style: Mapping[str, str]) -> Element:
    """Put a plain text element in the place of the engraver's nested one."""
    new = new_text(content, x, y, style)
    parent = old.getparent()
    if parent is not None:
        parent.replace(old, new)
    return new


def remove(element: Element) -> None:
    """Take an element out of its picture."""
    parent = element.getparent()
    if parent is not None:
        parent.remove(element)


def size(picture: Element) -> tuple[float, float]:
    """Width and height of the viewBox."""
    width, height = (picture.get("viewBox") or "0 0 0 0").split()[2:]
    return float(width), float(height)
