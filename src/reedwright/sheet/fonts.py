"""The engraver's music font, made fit for the typesetter at run time.

Verovio carries its Leipzig font as WOFF2 inside a stylesheet; typst reads only TTF or OTF from a
folder. Here the one becomes the other, once per process, into a private folder that goes away
with the process. No other music font is touched, and no file of either library is changed.

Convention: signs that also exist in Unicode proper get their Unicode number as a second name in
the font, so that text copied from the PDF says "♩ = 96" and not a private-use number.
"""

from __future__ import annotations

import base64
import io
import re
import time
from functools import cache
from importlib.resources import files
from pathlib import Path

from reedwright.errors import SheetError
from reedwright.sheet.scratch import no_room, scratch_folder, sweep

MUSIC_FONT = "Leipzig"
TEXT_FONT = "Libertinus Serif"  # carried inside typst
# Fonts carried inside typst; nothing else may be used, so that every machine prints the same.
EMBEDDED_FONTS = (
    "DejaVu Sans Mono",
    "Libertinus Serif",
    "New Computer Modern",
    "New Computer Modern Math",
)

# SMuFL number in the music font → the character a reader of the PDF should get.
# Source: SMuFL 1.4 (metronome marks, accidentals); Unicode block Miscellaneous Symbols.
UNICODE_NAMES = {
    0xECA3: "\U0001d15e",  # half note
    0xECA5: "♩",  # quarter note
    0xECA7: "♪",  # eighth note
    0xECB7: ".",  # augmentation dot
}
_DATA_URL = re.compile(r"base64,([A-Za-z0-9+/=]+)")


@cache
def music_font() -> bytes:
    """The Leipzig font as TTF, the same bytes on every call.

    Raises:
        SheetError: the installed verovio does not carry the font where it is looked for.
    """
    from fontTools.ttLib import TTFont

    font = TTFont(io.BytesIO(_packed_font()), recalcBBoxes=False, recalcTimestamp=False)
    font.flavor = None
    for table in font["cmap"].tables:
        if table.format in {4, 12}:
            table.cmap.update(_second_names(table.cmap, wide=table.format == 12))
    out = io.BytesIO()
    font.save(out, reorderTables=False)
    return out.getvalue()


def _packed_font() -> bytes:
    sheet = files("verovio") / "data" / f"{MUSIC_FONT}.css"
    if not sheet.is_file():
        raise SheetError(
            f"The installed verovio carries no {MUSIC_FONT} font. Mend: install verovio again."
        )
    found = _DATA_URL.search(sheet.read_text(encoding="utf-8"))
    if found is None:
        raise SheetError(
            f"The {MUSIC_FONT} font inside the installed verovio cannot be read. "
            "Mend: install the pinned version of verovio."
        )
    return base64.b64decode(found.group(1))


def _second_names(cmap: dict[int, str], *, wide: bool) -> dict[int, str]:
    """Characters to add to a character map; a 16-bit map takes only 16-bit numbers."""
    return {
        ord(character): cmap[number]
        for number, character in UNICODE_NAMES.items()
        if number in cmap and (wide or ord(character) <= 0xFFFF)
    }


@cache
def font_folder() -> Path:
    """A private folder holding the music font as a file; removed when the process ends.

    Errors: FileError where it cannot be written.
    """
    sweep(time.time())
    path = scratch_folder("fonts") / f"{MUSIC_FONT}.ttf"
    try:
        path.write_bytes(music_font())
    except OSError as error:
        raise no_room(str(path), error) from None
    return path.parent
