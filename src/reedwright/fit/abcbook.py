"""A book of ABC tunes as bytes, taken apart into tunes.

Source: the ABC music standard 2.1, section 2 (file structure).
"""

from __future__ import annotations

import re

from reedwright.errors import Problem
from reedwright.fit.melody import MelodyError

MAX_ABC_BYTES = 2_000_000
MAX_TUNES = 5_000


def abc_text(data: bytes) -> str:
    """The text of an ABC file: UTF-8, else Latin-1. Errors: MelodyError for a file too large."""
    if len(data) > MAX_ABC_BYTES:
        found = f"{len(data):,} bytes of ABC"
        rule = f"At most {MAX_ABC_BYTES:,} are read"
        raise MelodyError(str(Problem(found, rule, "split the book")))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def tunes_of(text: str) -> list[tuple[int, str, str]]:
    """The tunes of a book: number by place from 1, title, text.

    Errors: MelodyError for a text without a tune.
    """
    starts = [found.start() for found in re.finditer(r"(?m)^X:", text)]
    if not starts:
        starts = [0] if re.search(r"(?m)^K:", text) else []
    if not starts:
        rule = "A tune in ABC begins with X: and has a K: for its key"
        raise MelodyError(str(Problem("no tune in this ABC file", rule, "name another file")))
    if len(starts) > MAX_TUNES:
        found = f"over {MAX_TUNES:,} tunes in one file"
        raise MelodyError(str(Problem(found, "That is more than is read at once", "split it")))
    tunes = []
    for number, (start, end) in enumerate(zip(starts, [*starts[1:], len(text)], strict=True), 1):
        part = text[start:end]
        title = re.search(r"(?m)^T:\s*(.*)$", part)
        tunes.append((number, title[1].strip() if title else "", part))
    return tunes
