"""Which characters the sheet's fonts can print, and what stands in for those they cannot.

The fonts are the four that typst carries (see `fonts`), nothing from the machine. A character
that none of them has (an emoji, a Chinese sign) would print as an empty box; the replacement
character says plainly that something is missing. The table `data/glyphs.toml` is made by
`tools/glyph_coverage.py` from the installed typst and checked by a test against real output.
"""

from __future__ import annotations

import re
import tomllib
from functools import cache, lru_cache
from importlib.resources import files

REPLACEMENT = "\ufffd"  # the Unicode replacement character: a question mark in a lozenge
# Joiners and variation selectors shape the sign before them and print nothing of their own.
_INVISIBLE = re.compile(
    "[\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufe00-\ufe0f\ufeff\U000e0000-\U000e01ef]"
)
# What text_width knows: ASCII, then what titles, chords and tab are made of besides.
MEASURED = "".join(map(chr, range(0x20, 0x7F))) + "♭♮♯−′″–—·…↑↓\u00a0\u2002\u2003"
_WIDE = 1000  # thousandths of the type size: an em, as wide as letters get
_CONTROL = re.compile("[\x00-\x1f\x7f-\x9f]")


def printable(text: str) -> str:
    """The text with every character that cannot be printed replaced by a visible sign.

    Control characters become spaces; a run of unprintable characters becomes one sign.
    """
    if text.isascii() and text.isprintable():
        return text
    text = _INVISIBLE.sub("", _CONTROL.sub(" ", text))
    return _unprintable().sub(REPLACEMENT, text)


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """How long a line the text makes in the sheet's text font, in the unit of `size`; no kerning.

    Characters that are not `MEASURED` count as wide letters: the estimate errs on the long side.
    `bold` is the semibold that the sheet uses for what must catch the eye.
    """
    return _thousandths(text, bold) * size / 1000


@lru_cache(maxsize=4096)  # a sheet has few texts that differ: tab signs, chords, degrees
def _thousandths(text: str, bold: bool) -> int:
    widths = _advances(bold)
    return sum(widths.get(character, _WIDE) for character in text)


@cache
def _table() -> dict[str, str]:
    return tomllib.loads(
        files("reedwright.sheet").joinpath("data/glyphs.toml").read_text(encoding="utf-8")
    )


@cache
def _advances(bold: bool) -> dict[str, int]:
    plain, semibold = (_table()[f"advance_{name}"].split() for name in ("regular", "semibold"))
    chosen = [
        heavy if bold and heavy != "-" else light
        for light, heavy in zip(plain, semibold, strict=True)
    ]
    return {sign: int(number) for sign, number in zip(MEASURED, chosen, strict=True)}


@cache
def _unprintable() -> re.Pattern[str]:
    spans = [span.partition("-")[::2] for span in _table()["covered"].split()]
    covered = "".join(f"\\U{int(low, 16):08x}-\\U{int(high or low, 16):08x}" for low, high in spans)
    return re.compile(f"[^{covered}]+")
