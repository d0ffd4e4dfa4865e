"""Write src/reedwright/sheet/data/glyphs.toml: the characters typst's own fonts can print.

Run after a change of the typst version: `.venv/bin/python -m tools.glyph_coverage`. The fonts lie
uncompressed inside typst's extension module; each starts with an OpenType table directory
(source: OpenType specification, "Table Directory"), which tells its length.
"""

from __future__ import annotations

import contextlib
import io
import json
import struct
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import typst
from fontTools.ttLib import TTFont, TTLibError

from reedwright.sheet.fonts import TEXT_FONT
from reedwright.sheet.glyphs import MEASURED
from tests.sheet.pdf_reader import glyph_numbers

TRIAL = f"""
#set text(font: "{TEXT_FONT}")
#let said = json(bytes(sys.inputs.said))
#said #text(weight: 600, said) #text(style: "italic", said)
""".encode()
TARGET = Path(__file__).parent.parent / "src/reedwright/sheet/data/glyphs.toml"
_SIGNATURES = (b"OTTO", b"\0\1\0\0")
_NO_INK = {*range(0x20), *range(0x7F, 0xA0)}  # control characters, whatever a font maps them to


def embedded_fonts(library: bytes) -> Iterator[TTFont]:
    """Every font found in the bytes of the library."""
    for signature in _SIGNATURES:
        at = library.find(signature)
        while at >= 0:
            end = _end(library, at)
            if end:
                with contextlib.suppress(TTLibError):
                    yield TTFont(io.BytesIO(library[at:end]), lazy=True)
            at = library.find(signature, at + 1)


def _end(library: bytes, at: int) -> int:
    """Where the font ends, 0 when this is no font."""
    (count,) = struct.unpack(">H", library[at + 4 : at + 6])
    records = [library[at + 12 + 16 * k : at + 28 + 16 * k] for k in range(count)]
    if not 5 <= count <= 40 or not {b"cmap", b"head"} <= {record[:4] for record in records}:
        return 0
    ends = [struct.unpack(">II", record[8:]) for record in records]
    return at + 3 + max(int(offset) + int(length) for offset, length in ends)


def spans(numbers: set[int]) -> str:
    """Numbers as ordered spans, "20-7E A0"."""
    found: list[list[int]] = []
    for number in sorted(numbers):
        if found and found[-1][1] == number - 1:
            found[-1][1] = number
        else:
            found.append([number, number])
    return " ".join(f"{low:X}" if low == high else f"{low:X}-{high:X}" for low, high in found)


def unprintable(numbers: list[int]) -> list[int]:
    """Those that typst prints as an empty box all the same, in one of the styles of the sheet."""
    text = " ".join(map(chr, numbers))
    boxes = sum(number == 0 for _, number in glyph_numbers(printed(text)))
    if not boxes or len(numbers) == 1:
        return numbers if boxes else []
    half = len(numbers) // 2
    return unprintable(numbers[:half]) + unprintable(numbers[half:])


def printed(text: str) -> bytes:
    made = typst.compile(
        TRIAL,
        format="pdf",
        ignore_system_fonts=True,
        sys_inputs={"said": json.dumps(text)},
    )
    if not isinstance(made, bytes):
        raise SystemExit("typst gave no single file")
    return made


def advances(font: TTFont) -> str:
    """How far each of the measured characters moves the pen; - for one the font lacks."""
    names, metrics, em = font.getBestCmap(), font["hmtx"], font["head"].unitsPerEm
    return " ".join(
        str(round(metrics[names[ord(sign)]][0] * 1000 / em)) if ord(sign) in names else "-"
        for sign in MEASURED
    )


def wrapped(text: str, width: int = 96) -> str:
    lines: list[str] = []
    line = ""
    for word in text.split():
        if len(line) + len(word) >= width:
            lines, line = [*lines, line], ""
        line = f"{line} {word}".strip()
    return "\n".join([*lines, line])


def main() -> None:
    library = next(
        item for item in files("typst").iterdir() if item.name.endswith((".so", ".pyd", ".dylib"))
    )
    covered: set[int] = set()
    names = set()
    widths: dict[tuple[str, str], str] = {}
    for font in embedded_fonts(library.read_bytes()):
        family, style = font["name"].getBestFamilyName(), font["name"].getBestSubFamilyName()
        names.add(family)
        covered |= set(font.getBestCmap())
        widths[family, style] = advances(font)
    covered -= _NO_INK
    covered -= set(unprintable(sorted(covered)))
    listed = set(typst.Fonts(include_system_fonts=False).families())
    print("found", sorted(names), "typst lists", sorted(listed))
    TARGET.write_text(
        "# Characters (hexadecimal spans) that one of typst's own fonts has a glyph for.\n"
        "# Made by tools/glyph_coverage.py; not to be edited by hand.\n"
        f'typst = "{typst_version()}"\n'
        f'covered = """\n{wrapped(spans(covered))}\n"""\n'
        "# How far the signs of glyphs.MEASURED move the pen in the sheet's text font, in\n"
        "# thousandths of the type size; - where the font lacks one.\n"
        f'advance_regular = """\n{wrapped(widths[TEXT_FONT, "Regular"])}\n"""\n'
        f'advance_semibold = """\n{wrapped(widths[TEXT_FONT, "Semibold"])}\n"""\n',
        encoding="utf-8",
    )


def typst_version() -> str:
    from importlib.metadata import version

    return version("typst")


if __name__ == "__main__":
    main()
