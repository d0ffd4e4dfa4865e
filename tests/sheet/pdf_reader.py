"""Printed sheets read back by pypdf: text, fonts, and the numbers of the glyphs that were drawn."""

import re
from collections.abc import Iterator
from io import BytesIO
from typing import Any

from pypdf import PdfReader
from pypdf.generic import ContentStream


def open_pdf(pdf: bytes) -> PdfReader:
    return PdfReader(BytesIO(pdf), strict=True)


def text_of(pdf: bytes) -> str:
    """All text in the order it was drawn, page after page; places to break a word left out."""
    text = "\n".join(page.extract_text() for page in open_pdf(pdf).pages)
    return text.replace("\u200b", "")


def squeezed(text: str) -> str:
    """Text without blanks and line ends, which a reader of a PDF can only guess."""
    return re.sub(r"\s+", "", text)


def _streams(resources: Any, contents: Any, reader: PdfReader) -> Iterator[tuple[Any, Any]]:  # noqa: ANN401
    """Content streams with their resources: of a page, and of the forms it draws."""
    yield resources, ContentStream(contents, reader)
    for drawn in (resources.get("/XObject") or {}).values():
        form = drawn.get_object()
        if form.get("/Subtype") == "/Form":
            yield from _streams(form.get("/Resources", resources).get_object(), form, reader)


def glyph_numbers(pdf: bytes) -> Iterator[tuple[str, int]]:
    """(font, number) of every glyph shown. Number 0 is the empty box of a missing sign.

    All our fonts are coded by two bytes that are the glyph's number (Identity-H, asserted here).
    """
    reader = open_pdf(pdf)
    for page in reader.pages:
        resources = page["/Resources"].get_object()
        for own, stream in _streams(resources, page.get_contents(), reader):
            font = ""
            for operands, operator in stream.operations:
                if operator == b"Tf":
                    described = own["/Font"][operands[0]].get_object()
                    assert described["/Encoding"] == "/Identity-H"
                    font = str(described["/BaseFont"]).partition("+")[2]
                for string in _strings(operands, operator):
                    codes = string.original_bytes if hasattr(string, "original_bytes") else string
                    pairs = zip(codes[::2], codes[1::2], strict=True)
                    yield from ((font, high * 256 + low) for high, low in pairs)


def _strings(operands: list[Any], operator: bytes) -> list[Any]:
    if operator == b"Tj":
        return operands
    if operator == b"TJ":
        return [part for part in operands[0] if not isinstance(part, int | float)]
    return []


def fonts_of(pdf: bytes) -> set[str]:
    """Names of the fonts that were drawn with."""
    return {font for font, _ in glyph_numbers(pdf)}
