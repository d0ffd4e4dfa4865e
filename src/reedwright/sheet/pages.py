"""The printed sheet as SVG, a picture for each of its pages, for screens.

The typesetter draws the page with all type as shapes, so that it needs no font. Here it is made
fit to be read and passed on: a title and a description for those who hear it, the music drawn in
place of an enclosed picture, and names (ids) that no other picture has, so that several may stand
in one HTML page. Conventions: the viewBox counts points (72 to an inch); width and height are
those of the paper, and a style sheet may overrule them. The same sheet gives the same bytes.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterator, Sequence
from typing import TypeAlias

from lxml import etree

from reedwright.errors import SheetError
from reedwright.sheet.document import SheetDocument
from reedwright.sheet.parted import Parted
from reedwright.sheet.svg import SVG, XLINK_HREF
from reedwright.sheet.typeset import typeset_pages

Element: TypeAlias = "etree._Element"

_DATA = "data:image/svg+xml;base64,"
_REFERENCE = re.compile(r"url\(#([^)]+)\)")
_KEY_LENGTH = 8  # hex digits: pages with the same key are the same page, but for one in 4 billion
_PLACE = ("width", "height", "transform", "preserveAspectRatio")


def page_pictures(document: SheetDocument) -> tuple[str, ...]:
    """The pages of a sheet, each a standalone SVG.

    Raises:
        SheetError: the sheet cannot be set in type.
    """
    pages = [etree.fromstring(page) for page in typeset_pages(document)]
    lines = iter(document.systems)
    held = [_draw_music(page, lines) for page in pages]
    if next(lines, None) is not None:
        raise SheetError("The sheet could not be set in type: a line of music is missing.")
    for at, (page, own) in enumerate(zip(pages, held, strict=True)):
        name = _plain(document.title) + (f", page {at + 1}" if len(pages) > 1 else "")
        said = _said(document, own, first=at == 0, last=at == len(pages) - 1)
        _finish(page, name, "\n".join(_plain(line) for line in said))
    return tuple(etree.tostring(page, encoding="unicode") + "\n" for page in pages)


def _draw_music(page: Element, lines: Iterator[Parted]) -> list[Parted]:
    """Put the lines of music in place of enclosed pictures; gives the lines that are here."""
    held: list[Parted] = []
    for image in list(page.iter(f"{SVG}image")):
        link = image.get(XLINK_HREF) or ""
        line = next(lines, None)
        if line is None or not link.startswith(_DATA):
            raise SheetError("The sheet could not be set in type: what picture is this?")
        drawing = etree.fromstring(base64.b64decode(link.removeprefix(_DATA)))
        _rename(drawing, f"m{len(held)}-")
        for key in _PLACE:
            if key in image.attrib:
                drawing.set(key, image.attrib[key])
        for old in drawing.findall(f"{SVG}title"):
            drawing.remove(old)
        parent = image.getparent()
        if parent is not None:
            parent.replace(image, drawing)
        held.append(line)
    return held


def _finish(page: Element, name: str, said: str) -> None:
    width, height = (page.get("viewBox") or "0 0 0 0").split()[2:]
    key = hashlib.sha256(b"\n".join((etree.tostring(page), name.encode(), said.encode())))
    prefix = f"p{key.hexdigest()[:_KEY_LENGTH]}-"
    _rename(page, prefix)
    for default in [each for each in page.iter() if each.get("fill-rule") == "nonzero"]:
        del default.attrib["fill-rule"]  # what it is anyway
    page.set("width", f"{float(width):g}pt")
    page.set("height", f"{float(height):g}pt")
    page.set("role", "img")
    page.set("aria-labelledby", f"{prefix}title {prefix}desc")
    for tag, text in (("desc", said), ("title", name)):
        element = etree.Element(f"{SVG}{tag}", {"id": f"{prefix}{tag}"})
        element.text = text
        page.insert(0, element)
    etree.cleanup_namespaces(page)


def _rename(picture: Element, prefix: str) -> None:
    """Give every id a short new one, and every reference with it."""
    named = [element for element in picture.iter() if "id" in element.attrib]
    used = {element.attrib["id"]: f"{prefix}{at}" for at, element in enumerate(named)}
    for element in named:
        element.set("id", used[element.attrib["id"]])
    for element in picture.iter():
        for attribute, found in element.attrib.items():
            value = str(found)
            if attribute in (XLINK_HREF, "href") and value[1:] in used:
                element.set(attribute, f"#{used[value[1:]]}")
            elif value.startswith("url(#"):
                element.set(attribute, _REFERENCE.sub(lambda m: f"url(#{used[m[1]]})", value))


def _said(
    document: SheetDocument, lines: Sequence[Parted], *, first: bool, last: bool
) -> list[str]:
    """What the page says, as plain text: facts first, then the music, remarks and cautions."""
    said: list[str] = []
    if first:
        said += [document.byline] if document.byline else []
        said += [f"{name}: {value}" for name, value in document.facts]
        bars = (f"{at} {' '.join(chords)}" for at, chords in enumerate(document.form, 1))
        said += [f"{document.form_title}: {', '.join(bars)}"] if document.form else []
    said += [f"{line.title}: {line.spoken}" for line in lines]
    if last:
        said += [f"{remark.name}: {' '.join(remark.text.split())}" for remark in document.remarks]
        said += document.cautions
    return said


def _plain(text: str) -> str:
    """The text on one line, without what XML cannot hold and nobody can see."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
