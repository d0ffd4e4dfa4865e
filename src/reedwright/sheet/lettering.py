"""A line of music parted into its picture and its lettering, which the typesetter sets itself.

Text inside a picture would need its fonts on every reader's machine as soon as a sheet becomes
SVG; set by the typesetter it is the same in print and on a screen. Conventions: as in `parted`.
Text keeps the order in which it stands in the picture, which is the order it is read in.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TypeAlias

from lxml import etree

from reedwright.errors import SheetError
from reedwright.sheet.parted import Parted, Piece, Run
from reedwright.sheet.svg import BAR_NUMBER, SVG, TEXT_WIDTH_MM, remove, said, size

Element: TypeAlias = "etree._Element"

_KEPT = ("font-family", "font-size", "font-style", "font-weight", "fill")
_SHIFT = re.compile(r"translate\(([-\d.]+),\s*([-\d.]+)\)")
_STACKED = "+"  # between the holes of a chord where it is read out


def part(svg: str) -> Parted:
    """Take the lettering out of a line of music from `engrave`.

    Raises:
        SheetError: the text is no such picture.
    """
    try:
        root = etree.fromstring(svg)
    except etree.XMLSyntaxError as error:
        raise SheetError(f"The sheet could not be set in type: {error}") from error
    return part_tree(root)


def part_tree(root: Element) -> Parted:
    """The same of a parsed picture, whose lettering goes out of it.

    Raises:
        SheetError: this is no such picture.
    """
    width, height = size(root)
    canvas = root.find(f"{SVG}svg")
    if canvas is None or not width:
        raise SheetError("The sheet could not be set in type: a line of music holds no drawing.")
    left, top, inner_width, _ = map(float, (canvas.get("viewBox") or "").split())
    aside, down = _margin(canvas)
    to_mm = TEXT_WIDTH_MM / inner_width
    texts = list(canvas.iter(f"{SVG}text"))
    pieces = tuple(
        piece
        for text in texts
        for piece in _pieces(text, left - aside, top - down, to_mm)
        if piece.text.strip()
    )
    title = root.findtext(f"{SVG}title") or "A line of music"
    spoken = _spoken(texts)
    _strip(root, canvas, texts)
    picture = etree.tostring(root, encoding="unicode")
    return Parted(title, picture, pieces, TEXT_WIDTH_MM * height / width, spoken)


def _margin(canvas: Element) -> tuple[float, float]:
    """How far the engraver shifts all that it draws."""
    found = _SHIFT.match((canvas[0].get("transform") or "") if len(canvas) else "")
    return (float(found[1]), float(found[2])) if found else (0.0, 0.0)


def _pieces(text: Element, left: float, top: float, to_mm: float) -> Iterator[Piece]:
    """A new piece begins wherever the text is given a place anew."""
    x, runs = text.get("x", "0"), list[Run]()
    y_mm = (float(text.get("y", "0")) - top) * to_mm
    centred = text.get("text-anchor") == "middle"
    for place, style, letters in _letters(text, None, {}):
        if place is not None and place != x:
            yield Piece((float(x) - left) * to_mm, y_mm, tuple(runs), centred)
            x, runs = place, []
        runs.append(_run(letters, style, to_mm))
    yield Piece((float(x) - left) * to_mm, y_mm, tuple(runs), centred)


def _letters(
    element: Element, place: str | None, outer: dict[str, str]
) -> Iterator[tuple[str | None, dict[str, str], str]]:
    """Where letters are given a place, their style, and the letters."""
    own = {key: element.get(key) for key in _KEPT}
    style = outer | {key: value for key, value in own.items() if value is not None}
    if element.text:
        yield place, style, element.text
    for span in element:
        yield from _letters(span, span.get("x", place if not element.text else None), style)
        if span.tail:
            yield None, style, span.tail


def _run(letters: str, style: dict[str, str], to_mm: float) -> Run:
    return Run(
        letters,
        float(style["font-size"]) * to_mm,
        bold=style.get("font-weight") == "600",
        italic=style.get("font-style") == "italic",
        fill=style.get("fill", ""),
        font=style.get("font-family", ""),
    )


def _spoken(texts: list[Element]) -> str:
    words: list[str] = []
    before: Element | None = None
    for text in (each for each in texts if each.get("class") != BAR_NUMBER):
        column = _column(text)
        if column is not None and column is before:
            words[-1] += _STACKED + said(text)
        else:
            words.append(" ".join(" ".join(map(str, text.itertext())).split()))
        before = column
    return " ".join(words)


def _column(text: Element) -> Element | None:
    """The note or chord whose tab this is; None for any other text."""
    verse = next((up for up in text.iterancestors() if up.get("class") == "verse"), None)
    above = verse.getparent() if verse is not None else None
    return above if above is not None and above.get("class") in {"note", "chord"} else None


def _strip(root: Element, canvas: Element, texts: list[Element]) -> None:
    """Leave nothing but shapes; what the engraver's style sheet says of them they say themselves,
    since a style sheet would reach out of the picture into the page around it."""
    for text in texts:
        remove(text)
    for style in list(root.iter(f"{SVG}style")):
        remove(style)
    canvas.set("stroke", "currentColor")
    canvas.attrib.pop("font-family", "")
    for group in reversed(list(canvas.iter(f"{SVG}g"))):
        if not len(group) or "placeholder" in group.get("class", ""):
            remove(group)
        elif "class" in group.attrib:
            del group.attrib["class"]
